// What the crook-change drill leaves in the log.
#include "logbook/sqlite_logbook.h"

namespace bellhand::logbook {

namespace {

constexpr const char* kColumns =
    "session_id, number, set_list, item, crook_change.crook, crook_change.a4_hz, temperature_c, "
    "horn, pieces_before, pieces_right, pieces_said, slide_m, stands, off_cents, off_sd_cents, "
    "change_s, estimate_s, crook_change.rest_s, correct, verdict";

std::optional<std::string> text_or_empty(const Statement& row, int column) {
    return row.null(column) ? std::nullopt : std::optional(row.text(column));
}

std::optional<double> real_or_empty(const Statement& row, int column) {
    return row.null(column) ? std::nullopt : std::optional(row.real(column));
}

} // namespace

Result<void> SqliteLogbook::put_crook_change(std::int64_t session,
                                             const CrookChangeRecord& change) {
    Statement put(
        database_.handle(),
        "REPLACE INTO crook_change (id, session_id, number, set_list, item, crook, a4_hz, "
        "temperature_c, horn, pieces_before, pieces_right, pieces_said, slide_m, stands, "
        "off_cents, off_sd_cents, change_s, estimate_s, rest_s, correct, verdict) VALUES "
        "((SELECT id FROM crook_change WHERE session_id = ?1 AND number = ?2), "
        "?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,?13,?14,?15,?16,?17,?18,?19,?20)");
    put.bind(session)
        .bind(std::int64_t{change.number})
        .bind(change.set_list)
        .bind(change.item)
        .bind(change.crook)
        .bind(change.a4_hz)
        .bind(change.temperature_c)
        .bind(change.horn)
        .bind(change.pieces_before)
        .bind(change.pieces_right)
        .bind(change.pieces_said)
        .bind(change.slide_m)
        .bind(change.stands)
        .bind(change.off_cents)
        .bind(change.off_sd_cents)
        .bind(change.change_s)
        .bind(change.estimate_s)
        .bind(change.rest_s)
        .bind(std::int64_t{change.correct ? 1 : 0})
        .bind(change.verdict);
    return finish(put);
}

Result<void> SqliteLogbook::remove_crook_change(std::int64_t session, std::uint32_t number) {
    Statement remove(database_.handle(),
                     "DELETE FROM crook_change WHERE session_id = ? AND number = ?");
    remove.bind(session).bind(std::int64_t{number});
    return finish(remove);
}

Result<std::vector<CrookChangeRecord>> SqliteLogbook::crook_changes(std::int64_t session) {
    if (auto there = check_session(session); !there) {
        return tl::unexpected<Error>(there.error());
    }
    Statement rows(database_.handle(),
                   std::string("SELECT ") + kColumns +
                       " FROM crook_change WHERE session_id = ? ORDER BY number");
    rows.bind(session);
    return crook_change_list(rows);
}

Result<std::vector<CrookChangeRecord>>
SqliteLogbook::all_crook_changes(const std::optional<Days>& days) {
    Statement rows(database_.handle(),
                   std::string("SELECT ") + kColumns +
                       " FROM session JOIN crook_change ON session_id = session.id WHERE "
                       "deleted_at IS NULL AND day BETWEEN ? AND ? ORDER BY session_id, number");
    constexpr std::int64_t kEver = 1'000'000;
    rows.bind(days ? std::int64_t{days->first} : -kEver)
        .bind(days ? std::int64_t{days->last} : kEver);
    return crook_change_list(rows);
}

Result<std::vector<CrookChangeRecord>> SqliteLogbook::crook_change_list(Statement& rows) {
    std::vector<CrookChangeRecord> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        CrookChangeRecord& change = records.emplace_back();
        change.session = row.integer(0);
        change.number = static_cast<std::uint32_t>(row.integer(1));
        change.set_list = row.text(2);
        change.item = row.text(3);
        change.crook = row.text(4);
        change.a4_hz = row.real(5);
        change.temperature_c = row.real(6);
        change.horn = row.text(7);
        change.pieces_before = text_or_empty(row, 8);
        change.pieces_right = row.text(9);
        change.pieces_said = text_or_empty(row, 10);
        change.slide_m = row.real(11);
        change.stands = text_or_empty(row, 12);
        change.off_cents = real_or_empty(row, 13);
        change.off_sd_cents = real_or_empty(row, 14);
        change.change_s = row.real(15);
        change.estimate_s = real_or_empty(row, 16);
        change.rest_s = real_or_empty(row, 17);
        change.correct = row.integer(18) != 0;
        change.verdict = row.text(19);
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

} // namespace bellhand::logbook
