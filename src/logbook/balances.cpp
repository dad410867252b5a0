#include "logbook/balances.h"

#include "logbook/sqlite_logbook.h"

namespace bellhand::logbook {

Result<void> SqliteLogbook::put_balance(std::int64_t session, const BalanceRecord& balance) {
    if (auto there = check_session(session); !there) {
        return there;
    }
    Statement put(
        database_.handle(),
        "REPLACE INTO balance (id, session_id, number, start_s, duration_s, crook, wobble_cents, "
        "drift_cents_per_s, moves, told, jolts, worst_cents) VALUES "
        "((SELECT id FROM balance WHERE session_id = ?1 AND number = ?2), "
        "?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11)");
    put.bind(session)
        .bind(std::int64_t{balance.number})
        .bind(balance.start_s)
        .bind(balance.duration_s)
        .bind(balance.crook)
        .bind(balance.wobble_cents)
        .bind(balance.drift_cents_per_s)
        .bind(std::int64_t{balance.moves})
        .bind(std::int64_t{balance.told})
        .bind(std::int64_t{balance.jolts})
        .bind(balance.worst_cents);
    return finish(put);
}

Result<std::vector<BalanceRecord>> SqliteLogbook::balances() {
    Statement rows(database_.handle(),
                   "SELECT session_id, day, number, start_s, balance.duration_s, balance.crook, "
                   "wobble_cents, drift_cents_per_s, moves, told, jolts, worst_cents "
                   "FROM session JOIN balance ON session_id = session.id "
                   "WHERE deleted_at IS NULL ORDER BY session_id, number");
    std::vector<BalanceRecord> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        BalanceRecord& balance = records.emplace_back();
        balance.session = row.integer(0);
        balance.day = row.integer(1);
        balance.number = static_cast<std::uint32_t>(row.integer(2));
        balance.start_s = row.real(3);
        balance.duration_s = row.real(4);
        balance.crook = row.text(5);
        balance.wobble_cents = row.real(6);
        balance.drift_cents_per_s = row.real(7);
        balance.moves = static_cast<std::uint32_t>(row.integer(8));
        balance.told = static_cast<std::uint32_t>(row.integer(9));
        balance.jolts = static_cast<std::uint32_t>(row.integer(10));
        balance.worst_cents = row.real(11);
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

namespace {

constexpr const char* kNoFile = "Only a log that is a file keeps how quietly the horn stayed.";

} // namespace

Result<void> put_balance(Logbook& log, std::int64_t session, const BalanceRecord& balance) {
    auto* const file = dynamic_cast<SqliteLogbook*>(&log);
    return file != nullptr ? file->put_balance(session, balance) : failure(kNoFile);
}

Result<std::vector<BalanceRecord>> balances(Logbook& log) {
    auto* const file = dynamic_cast<SqliteLogbook*>(&log);
    if (file == nullptr) {
        return failure(kNoFile);
    }
    return file->balances();
}

} // namespace bellhand::logbook
