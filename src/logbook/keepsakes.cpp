// What the log keeps besides sessions: skill, homework, settings.
#include "core/calendar.h"
#include "logbook/sqlite_logbook.h"

#include <sqlite3.h>

namespace bellhand::logbook {

namespace {

constexpr int kNoTransition = -1;

} // namespace

Result<void> SqliteLogbook::put_skill(std::span<const SkillRow> rows) {
    return together([&]() -> Result<void> {
        for (const SkillRow& row : rows) {
            Statement put(database_.handle(),
                          "REPLACE INTO skill VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)");
            put.bind(std::int64_t{row.crook})
                .bind(std::int64_t{row.written})
                .bind(std::string_view(horn::hand_id(row.hand)))
                .bind(std::int64_t{row.from_written.value_or(kNoTransition)})
                .bind(std::string_view(row.from_written ? horn::hand_id(row.from_hand) : ""));
            for (const double value : row.values) {
                put.bind(value);
            }
            put.bind(row.updated_s);
            if (auto done = finish(put); !done) {
                return done;
            }
        }
        return {};
    });
}

Result<std::vector<SkillRow>> SqliteLogbook::skill() {
    Statement rows(database_.handle(), "SELECT * FROM skill");
    std::vector<SkillRow> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        SkillRow& record = records.emplace_back();
        record.crook = static_cast<int>(row.integer(0));
        record.written = static_cast<int>(row.integer(1));
        record.hand = hand_from(row.text(2));
        if (row.integer(3) != kNoTransition) {
            record.from_written = static_cast<int>(row.integer(3));
            record.from_hand = hand_from(row.text(4));
        }
        int column = 5;
        for (double& value : record.values) {
            value = row.real(column++);
        }
        record.updated_s = row.real(column);
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

Result<void> SqliteLogbook::put_homework(const HomeworkRecord& homework) {
    Statement put(database_.handle(), "REPLACE INTO homework VALUES (?,?,?,?,?,?,?)");
    put.bind(homework.id)
        .bind(homework.title)
        .bind(homework.file_hash)
        .bind(homework.received_at.empty() ? calendar::now_utc() : homework.received_at)
        .bind(homework.due_on)
        .bind(homework.returned_at)
        .bind(homework.content);
    return finish(put);
}

Result<std::vector<HomeworkRecord>> SqliteLogbook::homework() {
    Statement rows(database_.handle(),
                   "SELECT id, title, file_hash, received_at, due_on, returned_at, content "
                   "FROM homework ORDER BY received_at DESC, id");
    std::vector<HomeworkRecord> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        HomeworkRecord& record = records.emplace_back();
        record.id = row.text(0);
        record.title = row.text(1);
        record.file_hash = row.text(2);
        record.received_at = row.text(3);
        record.due_on = row.text(4);
        record.returned_at = row.text(5);
        record.content = row.text(6);
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

Result<void> SqliteLogbook::remove_homework(const std::string& id) {
    Statement remove(database_.handle(), "DELETE FROM homework WHERE id = ?");
    remove.bind(id);
    return finish(remove);
}

Result<void> SqliteLogbook::put_setting(const std::string& key, const std::string& value) {
    Statement put(database_.handle(), "REPLACE INTO setting VALUES (?, ?)");
    put.bind(key).bind(value);
    return finish(put);
}

Result<std::optional<std::string>> SqliteLogbook::setting(const std::string& key) {
    Statement rows(database_.handle(), "SELECT value FROM setting WHERE key = ?");
    rows.bind(key);
    std::optional<std::string> value;
    auto read = for_rows(rows, [&](const Statement& row) { value = row.text(0); });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return value;
}

} // namespace bellhand::logbook
