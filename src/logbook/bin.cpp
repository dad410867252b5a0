#include "core/calendar.h"
#include "core/platform.h"
#include "logbook/sqlite_logbook.h"

#include <sqlite3.h>

namespace bellhand::logbook {

Result<void> SqliteLogbook::delete_session(std::int64_t session) {
    return together([&]() -> Result<void> {
        if (auto there = check_session(session); !there) {
            return there;
        }
        // What it added to the sums of the whole log goes with it.
        if (auto done = count_notes(session, {}, -1).and_then([&] {
                return count_steps(session, {}, {}, -1);
            });
            !done) {
            return done;
        }
        Statement mark(database_.handle(), "UPDATE session SET deleted_at = ? WHERE id = ?");
        mark.bind(calendar::now_utc()).bind(session);
        return finish(mark);
    });
}

Result<void> SqliteLogbook::restore_session(std::int64_t session) {
    return together([&]() -> Result<void> {
        Statement unmark(
            database_.handle(),
            "UPDATE session SET deleted_at = NULL WHERE id = ? AND deleted_at IS NOT NULL");
        unmark.bind(session);
        if (auto done = finish(unmark); !done) {
            return done;
        }
        if (sqlite3_changes(database_.handle()) == 0) {
            return usage_error("Session " + std::to_string(session) +
                               " is not in the bin; `bellhand log --bin` lists what is.");
        }
        return count_notes(session, {}, 1).and_then([&] {
            return count_steps(session, {}, {}, 1);
        });
    });
}

Result<std::vector<SessionRecord>> SqliteLogbook::bin() {
    return session_list("WHERE deleted_at IS NOT NULL ORDER BY deleted_at DESC, id DESC");
}

Result<std::int64_t> SqliteLogbook::empty_bin(int days) {
    Statement due(database_.handle(),
                  "SELECT count(*) FROM session WHERE deleted_at IS NOT NULL AND "
                  "julianday('now') - julianday(deleted_at) >= ?");
    std::int64_t sessions = 0;
    due.bind(std::int64_t{days});
    if (auto read = for_rows(due, [&](const Statement& row) { sessions = row.integer(0); });
        !read) {
        return tl::unexpected<Error>(read.error());
    }
    if (sessions > 0) {
        Statement remove(database_.handle(),
                         "DELETE FROM session WHERE deleted_at IS NOT NULL AND "
                         "julianday('now') - julianday(deleted_at) >= ?");
        remove.bind(std::int64_t{days});
        if (auto done = finish(remove); !done) {
            return tl::unexpected<Error>(done.error());
        }
    }
    if (auto done = remove_files(); !done) {
        return tl::unexpected<Error>(done.error());
    }
    return sessions;
}

/// The rows go first and name the files in `file_to_remove`, in one transaction; then the files, then their names. A
/// program that is killed between leaves names, and the next opening goes on from there.
Result<void> SqliteLogbook::remove_files() {
    Statement rows(database_.handle(),
                   "SELECT file FROM file_to_remove WHERE file NOT IN (SELECT file FROM take)");
    std::vector<std::string> files;
    if (auto read = for_rows(rows, [&](const Statement& row) { files.push_back(row.text(0)); });
        !read) {
        return read;
    }
    for (const std::string& file : files) {
        std::error_code cannot;
        std::filesystem::remove(takes_folder(path_) / platform::path_of(file).filename(), cannot);
        if (cannot) {
            continue; // in use or not ours to remove now: it stays named, and the next opening tries again
        }
        Statement forget(database_.handle(), "DELETE FROM file_to_remove WHERE file = ?");
        forget.bind(file);
        if (auto done = finish(forget); !done) {
            return done;
        }
    }
    return {};
}

} // namespace bellhand::logbook
