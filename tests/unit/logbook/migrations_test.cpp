// Older logs are brought up to date without losing anything. What an older program wrote is made here by its own SQL, kept in old/.
#include "logbook/logbook.h"
#include "support/temporary_folder.h"

#include <cstdlib>
#include <fstream>
#include <string>

#include <doctest/doctest.h>
#include <sqlite3.h>

using namespace bellhand;
using logbook::Logbook;

namespace {

/// A log as version `number` left it.
std::string version(int number) {
    const char* root = std::getenv("BELLHAND_ROOT");
    const std::filesystem::path folder =
        std::filesystem::path(root != nullptr ? root : ".") / "tests" / "unit" / "logbook" / "old";
    std::ifstream file(folder / ("version-" + std::to_string(number) + ".sql"));
    REQUIRE_MESSAGE(file, "run from the repository's root, or set BELLHAND_ROOT");
    return {std::istreambuf_iterator<char>(file), {}};
}

void make(const std::filesystem::path& path, const std::string& sql) {
    sqlite3* file = nullptr;
    REQUIRE(sqlite3_open(path.string().c_str(), &file) == SQLITE_OK);
    REQUIRE(sqlite3_exec(file, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(file);
}

std::int64_t number(const std::filesystem::path& path, const char* sql) {
    sqlite3* file = nullptr;
    REQUIRE(sqlite3_open(path.string().c_str(), &file) == SQLITE_OK);
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
        const test::TemporaryFolder folder;
        const auto path = folder / "log.sqlite";
        make(path, version(1));
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
        // The sums for looking back start with what was there.
        const auto kinds = (*log)->note_tallies(std::nullopt).value();
        REQUIRE(kinds.size() == 3); // the unfinished one does not count
        CHECK(kinds[1].hand == horn::Hand::half);
        REQUIRE(kinds[1].bins.size() == 1);
        CHECK(kinds[1].bins[0].cents == 1);
        CHECK(kinds[1].bins[0].notes == 1);
        CHECK(kinds[1].bins[0].in_tune == 1);
        const auto transitions = (*log)->transition_tallies(std::nullopt).value();
        REQUIRE(transitions.size() == 1);
        CHECK(transitions[0].from_written == 60);
        CHECK(transitions[0].written == 70);
        const auto days = (*log)->day_sums(std::nullopt).value();
        REQUIRE(days.size() == 2);
        CHECK(days[0].playing_s == doctest::Approx(3.6));
        CHECK(days[0].rest_s == doctest::Approx(5.9));
        // The new tables are there to be written.
        logbook::BlockRecord block;
        block.exercise = "long-tones-open";
        CHECK((*log)->put_block(3, block));
        // The next session gets a number that was never used.
        CHECK((*log)->begin_session({}).value() == 4);
    }

    TEST_CASE("a log of version 2 is brought up to date with all it held") {
        const test::TemporaryFolder folder;
        const auto path = folder / "log.sqlite";
        make(path, version(2));
        auto log = Logbook::open_for_reading(path).value();
        REQUIRE(log->sessions().value().size() == 2);
        REQUIRE(log->bin().value().size() == 1);
        CHECK(log->steps(1).value()[1].judgement.faults.size() == 2);
        CHECK(log->takes(1).value()[0].file == "a.flac");
        CHECK(log->comments(1).value()[0].who == logbook::Who::teacher);
        CHECK(log->skill().value()[0].values[7] == 8.0);
        CHECK(log->homework().value()[0].title == "Week");
        CHECK(log->setting("takes_budget_bytes").value() == "5");
        // What lies in the bin counts only when it is taken out.
        const auto faulty = log->step_tallies(std::nullopt).value();
        REQUIRE(faulty.size() == 2);
        CHECK(faulty[1].title == "Scales");
        CHECK(faulty[1].faults == std::vector{drill::Fault::flat, drill::Fault::late});
        CHECK(log->note_tallies(std::nullopt).value()[0].bins.size() == 1);
        log = Logbook::open(path).value();
        REQUIRE(log->restore_session(4));
        CHECK(number(path, "SELECT sum(notes) FROM note_tally") == 4);
    }

    TEST_CASE(
        "a log of version 3 is brought up to date; where its temperaments stood is not known") {
        const test::TemporaryFolder folder;
        const auto path = folder / "log.sqlite";
        make(path, version(3));
        auto log = Logbook::open(path).value();
        REQUIRE(log->sessions().value().size() == 2);
        CHECK(log->sessions().value().back().footing.root.empty());
        const auto notes = log->notes(1).value();
        REQUIRE(notes.size() == 3);
        CHECK(notes[2].note.deviation_cents == -7.2);
        CHECK(notes[0].footing.anchor.empty());
        CHECK(log->blocks(1).value()[0].footing.enharmonic.empty());
        CHECK(log->note_tallies(std::nullopt).value().size() == 3);
        CHECK(log->crook_changes(1).value().empty());
        CHECK(log->put_crook_change(1, {}));
    }

    TEST_CASE(
        "a log of version 4 is brought up to date; its pitches are as close as anybody asked") {
        const test::TemporaryFolder folder;
        const auto path = folder / "log.sqlite";
        make(path, version(4));
        auto log = Logbook::open(path).value();
        REQUIRE(log->sessions().value().size() == 2);
        const auto notes = log->notes(1).value();
        REQUIRE(notes.size() == 3);
        CHECK(notes[2].note.deviation_cents == -7.2);
        CHECK(notes[2].note.known_within_cents == 0.0);
        CHECK(notes[2].in_tune() == true);
        CHECK(log->note_tallies(std::nullopt).value().size() == 3);
        REQUIRE(log->restore_session(4));
        CHECK(log->notes(4).value()[0].note.heard.estimate.position.closure == 0.125);
        CHECK(number(path, "SELECT sum(notes) FROM note_tally") == 4);
    }

    TEST_CASE("an older log opened for looking is brought up to date first") {
        const test::TemporaryFolder folder;
        make(folder / "log.sqlite", version(1));
        auto log = Logbook::open_for_reading(folder / "log.sqlite");
        REQUIRE(log);
        CHECK((*log)->blocks(1).value().empty());
        CHECK((*log)->notes(1).value().size() == 3);
    }

    TEST_CASE("a migration that cannot be finished leaves the older log as it was") {
        const test::TemporaryFolder folder;
        const auto path = folder / "log.sqlite";
        // A table in the way of the second step's last one.
        make(path, version(1) + "CREATE TABLE setting (other INTEGER);");
        const auto log = Logbook::open(path);
        REQUIRE_FALSE(log);
        CHECK(number(path, "PRAGMA user_version") == 1);
        CHECK(number(path, "SELECT count(*) FROM note") == 4);
        CHECK(number(path, "SELECT count(*) FROM sqlite_schema WHERE name = 'block'") == 0);
    }

    TEST_CASE("a log of a newer version is refused in one sentence, and left alone") {
        const test::TemporaryFolder folder;
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
