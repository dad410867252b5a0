#include "logbook/logbook.h"

#include "core/platform.h"
#include "logbook/schema.h"
#include "logbook/sqlite_logbook.h"

#include <sqlite3.h>

namespace bellhand::logbook {

horn::Hand hand_from(std::string_view id) noexcept {
    return horn::hand_of(id).value_or(horn::Hand::open);
}

Result<void> SqliteLogbook::finish(Statement& statement) {
    if (const int code = statement.step(); code != SQLITE_DONE) {
        return tl::unexpected<Error>(database_.explain(code));
    }
    return {};
}

Result<void> SqliteLogbook::together(const std::function<Result<void>()>& work) {
    if (sqlite3_get_autocommit(database_.handle()) == 0) {
        return work(); // inside a larger one, which decides
    }
    if (auto begun = database_.run("BEGIN IMMEDIATE"); !begun) {
        return begun;
    }
    auto done = work();
    if (done) {
        done = database_.run("COMMIT");
    }
    if (!done && sqlite3_get_autocommit(database_.handle()) == 0) {
        // The first error is the one to tell; a failing rollback adds nothing to it.
        (void)database_.run("ROLLBACK");
    }
    return done;
}

std::filesystem::path default_path() {
    return platform::data_folder() / "log.sqlite";
}

std::filesystem::path takes_folder(const std::filesystem::path& log) {
    return log.parent_path() / platform::path_of(log.stem().string() + "-takes");
}

Result<std::unique_ptr<Logbook>> Logbook::open(const std::filesystem::path& path) {
    std::error_code cannot;
    if (path.has_parent_path()) {
        std::filesystem::create_directories(path.parent_path(), cannot);
        if (cannot) {
            return failure("The folder " + path.parent_path().string() +
                           " for the log cannot be made (" + cannot.message() +
                           "); choose another file with --log.");
        }
    }
    auto database = Database::open(path, Database::Use::write);
    if (!database) {
        return tl::unexpected<Error>(database.error());
    }
    const auto version = version_of(*database, path);
    if (!version) {
        return tl::unexpected<Error>(version.error());
    }
    // WAL with synchronous=NORMAL: a killed program loses nothing that was committed; only a power cut may take the
    // newest commits, never the file.
    if (auto mode = database->run(
            "PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL; PRAGMA foreign_keys = ON");
        !mode) {
        return tl::unexpected<Error>(mode.error());
    }
    if (auto current = bring_up_to_date(*database, *version); !current) {
        return tl::unexpected<Error>(current.error());
    }
    auto book = std::make_unique<SqliteLogbook>(std::move(*database), path);
    if (const auto emptied = book->empty_bin(kBinDays); !emptied) {
        return tl::unexpected<Error>(emptied.error());
    }
    return book;
}

Result<std::unique_ptr<Logbook>> Logbook::open_for_reading(const std::filesystem::path& path) {
    std::error_code ignored;
    if (!std::filesystem::exists(path, ignored)) {
        return failure("There is no log at \"" + path.string() +
                       "\" yet; it is made when you practise, or name another file with --log.");
    }
    auto database = Database::open(path, Database::Use::read);
    if (!database) {
        return tl::unexpected<Error>(database.error());
    }
    const auto version = version_of(*database, path);
    if (!version) {
        return tl::unexpected<Error>(version.error());
    }
    if (*version < schema_version()) {
        // An older log cannot be read as it is; opening it for writing brings it up to date, or says why it cannot.
        if (const auto newer = open(path); !newer) {
            return tl::unexpected<Error>(newer.error());
        }
    }
    return std::make_unique<SqliteLogbook>(std::move(*database), path);
}

} // namespace bellhand::logbook
