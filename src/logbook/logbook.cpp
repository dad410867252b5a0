#include "logbook/logbook.h"

#include "logbook/sqlite.h"

#include <cstdlib>
#include <ctime>

#include <sqlite3.h>

namespace bellhand::logbook {

namespace {

// "Bell" in ASCII, in the file's header (PRAGMA application_id): tells a log from any other SQLite file.
constexpr std::int64_t kApplicationId = 0x42656c6c;

// One entry a version, applied in order and never changed once released; PRAGMA user_version counts them.
constexpr const char* kMigrations[] = {
    R"sql(
CREATE TABLE session (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    started_at  TEXT    NOT NULL,               -- UTC, ISO 8601
    duration_s  REAL    NOT NULL DEFAULT 0,     -- of sound; kept up to date with every note
    input       TEXT    NOT NULL,
    crook       TEXT    NOT NULL,
    a4_hz       REAL    NOT NULL,
    temperament TEXT    NOT NULL,
    closed      INTEGER NOT NULL DEFAULT 0      -- 1: ended in order
);
CREATE TABLE note (
    id              INTEGER PRIMARY KEY,
    session_id      INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
    number          INTEGER NOT NULL,           -- in the session, from 0
    start_s         REAL    NOT NULL,           -- since the start of the session
    duration_s      REAL    NOT NULL,
    crook           TEXT    NOT NULL,
    a4_hz           REAL    NOT NULL,
    temperament     TEXT    NOT NULL,
    written         TEXT    NOT NULL,           -- "Bb4"
    partial         INTEGER NOT NULL,
    hand            TEXT    NOT NULL,           -- open, quarter, half, three-quarters, full
    f0_hz           REAL    NOT NULL,
    target_hz       REAL    NOT NULL,
    deviation_cents REAL    NOT NULL,           -- median of the held part
    spread_cents    REAL    NOT NULL,
    attack_cents    REAL    NOT NULL,
    level_dbfs      REAL    NOT NULL,
    finished        INTEGER NOT NULL,           -- 0: the program ended while it sounded
    UNIQUE (session_id, number)
);
)sql",
};
constexpr std::int64_t kVersion = std::size(kMigrations);

std::string now_utc() {
    const std::time_t now = std::time(nullptr);
    std::tm utc{};
    gmtime_r(&now, &utc);
    char text[32];
    std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &utc);
    return text;
}

horn::Hand hand_from(const std::string& id) {
    for (const horn::Hand hand :
         {horn::Hand::quarter, horn::Hand::half, horn::Hand::three_quarters, horn::Hand::full}) {
        if (id == horn::hand_id(hand)) {
            return hand;
        }
    }
    return horn::Hand::open;
}

class SqliteLogbook final : public Logbook {
public:
    explicit SqliteLogbook(Database database) : database_(std::move(database)) {}

    Result<std::int64_t> begin_session(const SessionRecord& session) override {
        Statement statement(database_.handle(),
                            "INSERT INTO session (started_at, input, crook, a4_hz, temperament) "
                            "VALUES (?, ?, ?, ?, ?)");
        statement.bind(session.started_at.empty() ? now_utc() : session.started_at)
            .bind(session.input)
            .bind(session.crook)
            .bind(session.a4_hz)
            .bind(session.temperament);
        if (const int code = statement.step(); code != SQLITE_DONE) {
            return tl::unexpected<Error>(database_.explain(code));
        }
        return sqlite3_last_insert_rowid(database_.handle());
    }

    Result<void> put_note(std::int64_t session,
                          const horn::Tuning& tuning,
                          const trainer::PlayedNote& note) override {
        if (auto begun = database_.run("BEGIN IMMEDIATE"); !begun) {
            return begun;
        }
        auto done = write_note(session, tuning, note);
        if (done) {
            done = database_.run("COMMIT");
        }
        if (!done && sqlite3_get_autocommit(database_.handle()) == 0) {
            // The first error is the one to tell; a failing rollback adds nothing to it.
            (void)database_.run("ROLLBACK");
        }
        return done;
    }

    Result<void> end_session(std::int64_t session, double duration_s) override {
        Statement statement(
            database_.handle(),
            "UPDATE session SET closed = 1, duration_s = max(duration_s, ?) WHERE id = ?");
        statement.bind(duration_s).bind(session);
        return finished(statement);
    }

    Result<std::vector<SessionRecord>> sessions() override {
        Statement statement(
            database_.handle(),
            "SELECT id, started_at, duration_s, input, crook, a4_hz, temperament, closed, "
            "(SELECT count(*) FROM note WHERE note.session_id = session.id) FROM session ORDER BY "
            "id DESC");
        std::vector<SessionRecord> records;
        int code = SQLITE_ROW;
        while ((code = statement.step()) == SQLITE_ROW) {
            SessionRecord& record = records.emplace_back();
            record.id = statement.integer(0);
            record.started_at = statement.text(1);
            record.duration_s = statement.real(2);
            record.input = statement.text(3);
            record.crook = statement.text(4);
            record.a4_hz = statement.real(5);
            record.temperament = statement.text(6);
            record.closed = statement.integer(7) != 0;
            record.notes = statement.integer(8);
        }
        if (code != SQLITE_DONE) {
            return tl::unexpected<Error>(database_.explain(code));
        }
        return records;
    }

    Result<std::vector<NoteRecord>> notes(std::int64_t session) override {
        Statement found(database_.handle(), "SELECT 1 FROM session WHERE id = ?");
        if (const int code = found.bind(session).step(); code == SQLITE_DONE) {
            return usage_error("There is no session " + std::to_string(session) +
                               " in the log; `bellhand log` lists those there are.");
        }
        Statement statement(
            database_.handle(),
            "SELECT id, crook, a4_hz, temperament, number, start_s, duration_s, written, partial, "
            "hand, "
            "f0_hz, target_hz, deviation_cents, spread_cents, attack_cents, level_dbfs, finished "
            "FROM note WHERE session_id = ? ORDER BY number");
        statement.bind(session);
        std::vector<NoteRecord> records;
        int code = SQLITE_ROW;
        while ((code = statement.step()) == SQLITE_ROW) {
            records.push_back(note_from(statement));
        }
        if (code != SQLITE_DONE) {
            return tl::unexpected<Error>(database_.explain(code));
        }
        return records;
    }

private:
    static NoteRecord note_from(const Statement& row) {
        NoteRecord record;
        record.id = row.integer(0);
        record.crook = row.text(1);
        record.a4_hz = row.real(2);
        record.temperament = row.text(3);
        trainer::PlayedNote& note = record.note;
        note.index = static_cast<std::uint32_t>(row.integer(4));
        note.start_s = row.real(5);
        note.duration_s = row.real(6);
        if (const auto written = horn::parse_note(row.text(7)); written) {
            note.written = *written;
        }
        note.partial = static_cast<int>(row.integer(8));
        note.hand = hand_from(row.text(9));
        note.f0_hz = row.real(10);
        note.target_hz = row.real(11);
        note.deviation_cents = row.real(12);
        note.spread_cents = row.real(13);
        note.attack_cents = row.real(14);
        note.level_dbfs = row.real(15);
        note.finished = row.integer(16) != 0;
        return record;
    }

    Result<void>
    write_note(std::int64_t session, const horn::Tuning& tuning, const trainer::PlayedNote& note) {
        Statement insert(
            database_.handle(),
            "INSERT INTO note (session_id, number, start_s, duration_s, crook, a4_hz, temperament, "
            "written, partial, hand, f0_hz, target_hz, deviation_cents, spread_cents, "
            "attack_cents, "
            "level_dbfs, finished) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?) "
            "ON CONFLICT (session_id, number) DO UPDATE SET start_s = excluded.start_s, "
            "duration_s = excluded.duration_s, crook = excluded.crook, a4_hz = excluded.a4_hz, "
            "temperament = excluded.temperament, written = excluded.written, "
            "partial = excluded.partial, hand = excluded.hand, f0_hz = excluded.f0_hz, "
            "target_hz = excluded.target_hz, deviation_cents = excluded.deviation_cents, "
            "spread_cents = excluded.spread_cents, attack_cents = excluded.attack_cents, "
            "level_dbfs = excluded.level_dbfs, finished = excluded.finished");
        insert.bind(session)
            .bind(std::int64_t{note.index})
            .bind(note.start_s)
            .bind(note.duration_s)
            .bind(std::string_view(tuning.crook.id))
            .bind(tuning.a4_hz)
            .bind(std::string_view(tuning.temperament.id))
            .bind(horn::ascii_name(note.written))
            .bind(std::int64_t{note.partial})
            .bind(std::string_view(horn::hand_id(note.hand)))
            .bind(note.f0_hz)
            .bind(note.target_hz)
            .bind(note.deviation_cents)
            .bind(note.spread_cents)
            .bind(note.attack_cents)
            .bind(note.level_dbfs)
            .bind(std::int64_t{note.finished ? 1 : 0});
        if (auto done = finished(insert); !done) {
            return done;
        }
        Statement length(database_.handle(),
                         "UPDATE session SET duration_s = max(duration_s, ?) WHERE id = ?");
        length.bind(note.start_s + note.duration_s).bind(session);
        return finished(length);
    }

    Result<void> finished(Statement& statement) {
        if (const int code = statement.step(); code != SQLITE_DONE) {
            return tl::unexpected<Error>(database_.explain(code));
        }
        return {};
    }

    Database database_;
};

Result<void> bring_up_to_date(Database& database, const std::filesystem::path& path) {
    const auto version = database.number("PRAGMA user_version");
    if (!version) {
        return tl::unexpected<Error>(version.error());
    }
    if (*version > kVersion) {
        return failure("The log \"" + path.string() +
                       "\" was written by a newer Bellhand; use that version, or choose "
                       "another file with --log.");
    }
    for (std::int64_t step = *version; step < kVersion; ++step) {
        const std::string sql = std::string("BEGIN IMMEDIATE;") + kMigrations[step] +
                                "PRAGMA user_version = " + std::to_string(step + 1) +
                                "; PRAGMA application_id = " + std::to_string(kApplicationId) +
                                "; COMMIT;";
        if (auto done = database.run(sql); !done) {
            (void)database.run(
                "ROLLBACK"); // fails when nothing was begun: either way nothing is half done
            return done;
        }
    }
    return {};
}

/// A file that is empty or a log of ours.
Result<void> check_identity(Database& database) {
    const auto id = database.number("PRAGMA application_id");
    if (!id) {
        return tl::unexpected<Error>(id.error());
    }
    const auto tables = database.number("SELECT count(*) FROM sqlite_schema");
    if (!tables) {
        return tl::unexpected<Error>(tables.error());
    }
    if (*id != kApplicationId && *tables > 0) {
        return tl::unexpected<Error>(database.explain(SQLITE_NOTADB));
    }
    return {};
}

} // namespace

std::filesystem::path default_path() {
    namespace fs = std::filesystem;
    if (const char* data = std::getenv("XDG_DATA_HOME");
        data != nullptr && fs::path(data).is_absolute()) {
        return fs::path(data) / "bellhand" / "log.sqlite";
    }
    const char* home = std::getenv("HOME");
    return fs::path(home != nullptr && *home != '\0' ? home : "/") / ".local" / "share" /
           "bellhand" / "log.sqlite";
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
    if (auto ours = check_identity(*database); !ours) {
        return tl::unexpected<Error>(ours.error());
    }
    // WAL with synchronous=NORMAL: a killed program loses nothing that was committed; only a power cut may take the
    // newest commits, never the file.
    if (auto mode = database->run(
            "PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL; PRAGMA foreign_keys = ON");
        !mode) {
        return tl::unexpected<Error>(mode.error());
    }
    if (auto current = bring_up_to_date(*database, path); !current) {
        return tl::unexpected<Error>(current.error());
    }
    return std::make_unique<SqliteLogbook>(std::move(*database));
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
    if (auto ours = check_identity(*database); !ours) {
        return tl::unexpected<Error>(ours.error());
    }
    const auto version = database->number("PRAGMA user_version");
    if (!version) {
        return tl::unexpected<Error>(version.error());
    }
    if (*version != kVersion) {
        return failure("The log \"" + path.string() +
                       "\" is of another version; open it once with --log in the program "
                       "that is to use it.");
    }
    return std::make_unique<SqliteLogbook>(std::move(*database));
}

} // namespace bellhand::logbook
