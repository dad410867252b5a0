#include "core/calendar.h"
#include "logbook/sqlite_logbook.h"

#include <sqlite3.h>

namespace bellhand::logbook {

namespace {

constexpr std::size_t kLongestComment = 4000;

/// A bare name of letters, digits and "-_." that hides nothing: the log may come from another computer.
bool plain_file_name(const std::string& name) {
    constexpr const char* kAllowed =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.";
    return !name.empty() && name.size() <= 120 && name.front() != '.' &&
           name.find_first_not_of(kAllowed) == std::string::npos;
}

std::optional<std::int64_t> number_or_null(const std::optional<std::uint32_t>& number) {
    return number ? std::optional(std::int64_t{*number}) : std::nullopt;
}

} // namespace

const char* who_id(Who who) noexcept {
    return who == Who::teacher ? "teacher" : "player";
}

Result<std::int64_t> SqliteLogbook::put_take(const TakeRecord& take) {
    if (!plain_file_name(take.file)) {
        return usage_error("\"" + take.file +
                           "\" is no file name for a take: letters, digits, \"-\", \"_\" and \".\" "
                           "only, no folder.");
    }
    Statement put(
        database_.handle(),
        "INSERT INTO take (session_id, block_number, file, start_s, duration_s, bytes, kept, why) "
        "VALUES (?,?,?,?,?,?,?,?) ON CONFLICT (file) DO UPDATE SET "
        "session_id = excluded.session_id, block_number = excluded.block_number, "
        "start_s = excluded.start_s, duration_s = excluded.duration_s, bytes = excluded.bytes, "
        "kept = excluded.kept, why = excluded.why RETURNING id");
    put.bind(take.session)
        .bind(number_or_null(take.block))
        .bind(take.file)
        .bind(take.start_s)
        .bind(take.duration_s)
        .bind(take.bytes)
        .bind(std::int64_t{take.kept ? 1 : 0})
        .bind(take.why);
    std::int64_t id = 0;
    if (auto done = for_rows(put, [&](const Statement& row) { id = row.integer(0); }); !done) {
        return tl::unexpected<Error>(done.error());
    }
    return id;
}

Result<std::vector<TakeRecord>> SqliteLogbook::take_list(Statement& rows) {
    std::vector<TakeRecord> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        TakeRecord& take = records.emplace_back();
        take.id = row.integer(0);
        take.session = row.integer(1);
        if (!row.null(2)) {
            take.block = static_cast<std::uint32_t>(row.integer(2));
        }
        take.file = row.text(3);
        take.start_s = row.real(4);
        take.duration_s = row.real(5);
        take.bytes = row.integer(6);
        take.kept = row.integer(7) != 0;
        take.why = row.text(8);
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

Result<std::vector<TakeRecord>> SqliteLogbook::takes(std::int64_t session) {
    if (auto there = check_session(session); !there) {
        return tl::unexpected<Error>(there.error());
    }
    Statement rows(database_.handle(),
                   "SELECT id, session_id, block_number, file, start_s, duration_s, bytes, kept, "
                   "why FROM take WHERE session_id = ? ORDER BY start_s, id");
    rows.bind(session);
    return take_list(rows);
}

Result<std::vector<TakeRecord>> SqliteLogbook::all_takes() {
    Statement rows(database_.handle(),
                   "SELECT take.id, session_id, block_number, file, start_s, take.duration_s, "
                   "bytes, kept, why FROM take JOIN session ON session.id = session_id "
                   "WHERE deleted_at IS NULL ORDER BY session_id, start_s, take.id");
    return take_list(rows);
}

Result<std::int64_t> SqliteLogbook::takes_bytes() {
    return database_.number("SELECT coalesce(sum(bytes), 0) FROM take");
}

Result<void> SqliteLogbook::remove_take(std::int64_t take) {
    Statement remove(database_.handle(), "DELETE FROM take WHERE id = ?");
    remove.bind(take);
    if (auto done = finish(remove); !done) {
        return done;
    }
    return remove_files();
}

Result<std::int64_t> SqliteLogbook::add_comment(const CommentRecord& comment) {
    if (auto there = check_session(comment.session); !there) {
        return tl::unexpected<Error>(there.error());
    }
    if (comment.text.empty() || comment.text.size() > kLongestComment) {
        return usage_error("A comment needs words, " + std::to_string(kLongestComment) +
                           " bytes at most.");
    }
    const auto missing = [&](const char* sql, std::int64_t number) -> Result<bool> {
        Statement found(database_.handle(), sql);
        const int code = found.bind(comment.session).bind(number).step();
        if (code != SQLITE_ROW && code != SQLITE_DONE) {
            return tl::unexpected<Error>(database_.explain(code));
        }
        return code == SQLITE_DONE;
    };
    const std::string session = " in session " + std::to_string(comment.session) +
                                "; `bellhand log show " + std::to_string(comment.session) +
                                "` lists what there is.";
    if (comment.take) {
        const auto gone =
            missing("SELECT 1 FROM take WHERE session_id = ? AND id = ?", *comment.take);
        if (!gone) {
            return tl::unexpected<Error>(gone.error());
        }
        if (*gone) {
            return usage_error("There is no take " + std::to_string(*comment.take) + session);
        }
    }
    if (comment.note) {
        const auto gone =
            missing("SELECT 1 FROM note WHERE session_id = ? AND number = ?", *comment.note);
        if (!gone) {
            return tl::unexpected<Error>(gone.error());
        }
        if (*gone) {
            return usage_error("There is no note " + std::to_string(*comment.note) + session);
        }
    }
    Statement put(database_.handle(),
                  "INSERT INTO comment (session_id, take_id, note_number, who, at_s, text, "
                  "written_at) VALUES (?,?,?,?,?,?,?)");
    put.bind(comment.session)
        .bind(comment.take)
        .bind(number_or_null(comment.note))
        .bind(std::string_view(who_id(comment.who)))
        .bind(comment.at_s)
        .bind(comment.text)
        .bind(comment.written_at.empty() ? calendar::now_utc() : comment.written_at);
    if (auto done = finish(put); !done) {
        return tl::unexpected<Error>(done.error());
    }
    return sqlite3_last_insert_rowid(database_.handle());
}

Result<std::vector<CommentRecord>> SqliteLogbook::comments(std::int64_t session) {
    if (auto there = check_session(session); !there) {
        return tl::unexpected<Error>(there.error());
    }
    Statement rows(database_.handle(),
                   "SELECT id, session_id, take_id, note_number, who, at_s, text, written_at "
                   "FROM comment WHERE session_id = ? ORDER BY take_id, at_s, id");
    rows.bind(session);
    std::vector<CommentRecord> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        CommentRecord& comment = records.emplace_back();
        comment.id = row.integer(0);
        comment.session = row.integer(1);
        if (!row.null(2)) {
            comment.take = row.integer(2);
        }
        if (!row.null(3)) {
            comment.note = static_cast<std::uint32_t>(row.integer(3));
        }
        comment.who = row.text(4) == who_id(Who::teacher) ? Who::teacher : Who::player;
        comment.at_s = row.real(5);
        comment.text = row.text(6);
        comment.written_at = row.text(7);
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

Result<void> SqliteLogbook::remove_comment(std::int64_t comment) {
    Statement remove(database_.handle(), "DELETE FROM comment WHERE id = ?");
    remove.bind(comment);
    return finish(remove);
}

} // namespace bellhand::logbook
