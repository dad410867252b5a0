// Older logs are brought up to date without losing anything. What an older program wrote is made here by its own SQL,
// kept as it was.
#include "logbook/logbook.h"
#include "support/log_folder.h"

#include <string>

#include <doctest/doctest.h>
#include <sqlite3.h>

using namespace bellhand;
using logbook::Logbook;

namespace {

constexpr const char* kVersion1 = R"sql(
CREATE TABLE session (id INTEGER PRIMARY KEY AUTOINCREMENT, started_at TEXT NOT NULL, duration_s REAL NOT NULL DEFAULT 0,
    input TEXT NOT NULL, crook TEXT NOT NULL, a4_hz REAL NOT NULL, temperament TEXT NOT NULL,
    closed INTEGER NOT NULL DEFAULT 0);
CREATE TABLE note (id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
    number INTEGER NOT NULL, start_s REAL NOT NULL, duration_s REAL NOT NULL, crook TEXT NOT NULL, a4_hz REAL NOT NULL,
    temperament TEXT NOT NULL, written TEXT NOT NULL, partial INTEGER NOT NULL, hand TEXT NOT NULL, f0_hz REAL NOT NULL,
    target_hz REAL NOT NULL, deviation_cents REAL NOT NULL, spread_cents REAL NOT NULL, attack_cents REAL NOT NULL,
    level_dbfs REAL NOT NULL, finished INTEGER NOT NULL, UNIQUE (session_id, number));
PRAGMA application_id = 1113943148; -- 0x42656c6c
PRAGMA user_version = 1;
INSERT INTO session VALUES (1, '2026-03-01T10:11:12Z', 20.5, 'microphone', 'F', 430.0, 'vallotti', 1),
                           (3, '2026-03-02T18:00:00Z', 9.25, 'microphone', 'Eb', 440.0, 'equal', 0);
INSERT INTO note VALUES
    (1, 1, 0, 0.5, 1.5, 'F', 430.0, 'vallotti', 'C4', 4, 'open', 170.6, 170.7, -1.0, 0.5, -3.0, -20.0, 1),
    (2, 1, 1, 2.1, 1.0, 'F', 430.0, 'vallotti', 'Bb4', 7, 'half', 300.1, 300.0, 0.6, 0.7, 4.0, -22.0, 1),
    (3, 1, 2, 9.0, 1.0, 'F', 430.0, 'vallotti', 'F#5', 11, 'full', 480.0, 482.0, -7.2, 1.7, 4.0, -22.0, 1),
    (4, 3, 0, 1.0, 0.4, 'Eb', 440.0, 'equal', 'G4', 6, 'open', 233.0, 233.1, -0.7, 0.4, 0.0, -19.0, 0);
)sql";

void make(const std::filesystem::path& path, const std::string& sql) {
    sqlite3* file = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &file) == SQLITE_OK);
    REQUIRE(sqlite3_exec(file, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(file);
}

std::int64_t number(const std::filesystem::path& path, const char* sql) {
    sqlite3* file = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &file) == SQLITE_OK);
    sqlite3_stmt* statement = nullptr;
    REQUIRE(sqlite3_prepare_v2(file, sql, -1, &statement, nullptr) == SQLITE_OK);
    REQUIRE(sqlite3_step(statement) == SQLITE_ROW);
    const std::int64_t value = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    sqlite3_close(file);
    return value;
}

} // namespace

TEST_SUITE("logbook/migrations") {
    TEST_CASE("a log of version 1 is brought up to date with all it held") {
        const test::LogFolder folder;
        const auto path = folder / "log.sqlite";
        make(path, kVersion1);
        auto log = Logbook::open(path);
        REQUIRE(log);
        const auto sessions = (*log)->sessions();
        REQUIRE(sessions);
        REQUIRE(sessions->size() == 2);
        CHECK(sessions->back().id == 1);
        CHECK(sessions->back().notes == 3);
        CHECK(sessions->back().temperament == "vallotti");
        CHECK(sessions->front().id == 3);
        CHECK_FALSE(sessions->front().closed);
        const auto notes = (*log)->notes(1);
        REQUIRE(notes);
        REQUIRE(notes->size() == 3);
        CHECK(horn::ascii_name((*notes)[1].note.written) == "Bb4");
        CHECK((*notes)[0].tolerance_cents == 5.0);
        CHECK((*notes)[1].tolerance_cents == 10.0);
        CHECK((*notes)[2].tolerance_cents == 15.0);
        CHECK((*notes)[2].note.deviation_cents == -7.2);
        CHECK_FALSE((*notes)[0].note.heard.heard);
        CHECK(number(path, "SELECT group_concat(written_number, '') = '60707867' FROM note") == 1);
        // The new tables are there to be written.
        logbook::BlockRecord block;
        block.exercise = "long-tones-open";
        CHECK((*log)->put_block(3, block));
        // The next session gets a number that was never used.
        CHECK((*log)->begin_session({}).value() == 4);
    }

    TEST_CASE("an older log opened for looking is brought up to date first") {
        const test::LogFolder folder;
        make(folder / "log.sqlite", kVersion1);
        auto log = Logbook::open_for_reading(folder / "log.sqlite");
        REQUIRE(log);
        CHECK((*log)->blocks(1).value().empty());
        CHECK((*log)->notes(1).value().size() == 3);
    }

    TEST_CASE("a migration that cannot be finished leaves the older log as it was") {
        const test::LogFolder folder;
        const auto path = folder / "log.sqlite";
        // A table in the way of the second step's last one.
        make(path, std::string(kVersion1) + "CREATE TABLE setting (other INTEGER);");
        const auto log = Logbook::open(path);
        REQUIRE_FALSE(log);
        CHECK(number(path, "PRAGMA user_version") == 1);
        CHECK(number(path, "SELECT count(*) FROM note") == 4);
        CHECK(number(path, "SELECT count(*) FROM sqlite_schema WHERE name = 'block'") == 0);
    }

    TEST_CASE("a log of a newer version is refused in one sentence, and left alone") {
        const test::LogFolder folder;
        const auto path = folder / "log.sqlite";
        REQUIRE(Logbook::open(path));
        make(path, "PRAGMA user_version = 999");
        for (const bool reading : {false, true}) {
            const auto log = reading ? Logbook::open_for_reading(path) : Logbook::open(path);
            REQUIRE_FALSE(log);
            CHECK(log.error().message.find("newer Bellhand") != std::string::npos);
            CHECK(log.error().message.find(path.string()) != std::string::npos);
        }
        CHECK(number(path, "PRAGMA user_version") == 999);
    }
}
