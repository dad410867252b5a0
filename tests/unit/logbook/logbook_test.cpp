#include "logbook/logbook.h"

#include "support/temporary_folder.h"

#include <cstdlib>
#include <fstream>
#include <string>

#include <doctest/doctest.h>
#include <sqlite3.h>

using namespace bellhand;
using logbook::Logbook;
using Folder = test::TemporaryFolder;

namespace {

trainer::PlayedNote some_note(std::uint32_t index) {
    trainer::PlayedNote note;
    note.index = index;
    note.start_s = 1.5 * index;
    note.duration_s = 0.75;
    note.written = horn::Note{70, -1};
    note.partial = 7;
    note.hand = horn::Hand::half;
    note.f0_hz = 309.25;
    note.target_hz = 311.127;
    note.deviation_cents = -10.48;
    note.spread_cents = 1.25;
    note.attack_cents = -22.5;
    note.level_dbfs = -23.5;
    note.finished = true;
    return note;
}

logbook::SessionRecord some_session() {
    logbook::SessionRecord session;
    session.input = "demo player";
    session.crook = "F";
    session.a4_hz = 430.0;
    session.temperament = "vallotti";
    session.footing = {"Eb", "a", "flat"};
    return session;
}

std::int64_t must_begin(Logbook& log) {
    const auto id = log.begin_session(some_session());
    REQUIRE(id);
    return *id;
}

} // namespace

TEST_SUITE("logbook/logbook") {
    TEST_CASE("a note comes back from the file as it was put in") {
        const Folder folder;
        {
            auto log = Logbook::open(folder / "deep" / "log.sqlite");
            REQUIRE(log);
            const auto session = must_begin(**log);
            CHECK((*log)->put_note(session, horn::Tuning{}, some_note(0)));
            horn::Tuning just;
            just.temperament = horn::parse_temperament("just").value();
            just.footing = {4, horn::Anchor::a, horn::Enharmonic::flat};
            CHECK((*log)->put_note(session, just, some_note(1)));
            CHECK((*log)->end_session(session, 12.5));
        }
        auto log = Logbook::open_for_reading(folder / "deep" / "log.sqlite");
        REQUIRE(log);
        const auto sessions = (*log)->sessions();
        REQUIRE(sessions);
        REQUIRE(sessions->size() == 1);
        const auto& session = sessions->front();
        CHECK(session.started_at.size() == 20);
        CHECK(session.duration_s == 12.5);
        CHECK(session.input == "demo player");
        CHECK(session.crook == "F");
        CHECK(session.a4_hz == 430.0);
        CHECK(session.temperament == "vallotti");
        CHECK(session.footing.root == "Eb");
        CHECK(session.footing.anchor == "a");
        CHECK(session.footing.enharmonic == "flat");
        CHECK(session.notes == 2);
        CHECK(session.closed);
        const auto notes = (*log)->notes(session.id);
        REQUIRE(notes);
        REQUIRE(notes->size() == 2);
        // The root in force is kept, chosen or not: F is the crook's.
        CHECK((*notes)[0].footing.root == "F");
        CHECK((*notes)[0].footing.anchor == "key");
        const horn::Footing kept = logbook::footing_of((*notes)[1].footing);
        CHECK(kept == horn::Footing{4, horn::Anchor::a, horn::Enharmonic::flat});
        const auto expected = some_note(1);
        const auto& note = notes->back().note;
        CHECK(note.index == expected.index);
        CHECK(note.start_s == expected.start_s);
        CHECK(note.duration_s == expected.duration_s);
        CHECK(note.written == expected.written);
        CHECK(note.partial == expected.partial);
        CHECK(note.hand == expected.hand);
        CHECK(note.f0_hz == expected.f0_hz);
        CHECK(note.target_hz == expected.target_hz);
        CHECK(note.deviation_cents == expected.deviation_cents);
        CHECK(note.spread_cents == expected.spread_cents);
        CHECK(note.attack_cents == expected.attack_cents);
        CHECK(note.level_dbfs == expected.level_dbfs);
        CHECK(note.finished);
        CHECK(notes->back().a4_hz == 440.0);
        CHECK(notes->back().crook == "F");
    }

    TEST_CASE("a sounding note saved again replaces itself") {
        const Folder folder;
        auto log = Logbook::open(folder / "log.sqlite");
        REQUIRE(log);
        const auto session = must_begin(**log);
        auto note = some_note(0);
        note.finished = false;
        note.duration_s = 0.5;
        CHECK((*log)->put_note(session, horn::Tuning{}, note));
        note.finished = true;
        note.duration_s = 9.0;
        CHECK((*log)->put_note(session, horn::Tuning{}, note));
        const auto notes = (*log)->notes(session);
        REQUIRE(notes);
        REQUIRE(notes->size() == 1);
        CHECK(notes->front().note.duration_s == 9.0);
        CHECK(notes->front().note.finished);
        const auto sessions = (*log)->sessions();
        REQUIRE(sessions);
        CHECK(sessions->front().duration_s == 9.0); // known although nobody said goodbye
        CHECK_FALSE(sessions->front().closed);
    }

    TEST_CASE("an unknown session is the caller's mistake") {
        const Folder folder;
        auto log = Logbook::open(folder / "log.sqlite");
        REQUIRE(log);
        const auto notes = (*log)->notes(7);
        REQUIRE_FALSE(notes);
        CHECK(notes.error().kind == ErrorKind::usage);
        CHECK(notes.error().message.find("session 7") != std::string::npos);
    }

    TEST_CASE("a log that is not there yet is said, not made, when only looking") {
        const Folder folder;
        const auto log = Logbook::open_for_reading(folder / "none.sqlite");
        REQUIRE_FALSE(log);
        CHECK(log.error().message.find("There is no log") != std::string::npos);
        CHECK_FALSE(std::filesystem::exists(folder / "none.sqlite"));
    }

    TEST_CASE("a file that is not a log is left alone") {
        const Folder folder;
        const auto path = folder / "letter.txt";
        std::ofstream(path) << std::string(5000, 'x');
        const auto log = Logbook::open(path);
        REQUIRE_FALSE(log);
        CHECK(log.error().message.find("not a Bellhand log") != std::string::npos);
        CHECK(std::filesystem::file_size(path) == 5000);
    }

    TEST_CASE("another program's SQLite file is left alone") {
        const Folder folder;
        const auto path = folder / "other.sqlite";
        sqlite3* other = nullptr;
        REQUIRE(sqlite3_open(path.string().c_str(), &other) == SQLITE_OK);
        REQUIRE(sqlite3_exec(other, "CREATE TABLE theirs (x)", nullptr, nullptr, nullptr) ==
                SQLITE_OK);
        sqlite3_close(other);
        const auto log = Logbook::open(path);
        REQUIRE_FALSE(log);
        CHECK(log.error().message.find("not a Bellhand log") != std::string::npos);
    }

    TEST_CASE("a log of a newer version is refused") {
        const Folder folder;
        const auto path = folder / "log.sqlite";
        REQUIRE(Logbook::open(path));
        sqlite3* other = nullptr;
        REQUIRE(sqlite3_open(path.string().c_str(), &other) == SQLITE_OK);
        REQUIRE(sqlite3_exec(other, "PRAGMA user_version = 999", nullptr, nullptr, nullptr) ==
                SQLITE_OK);
        sqlite3_close(other);
        const auto log = Logbook::open(path);
        REQUIRE_FALSE(log);
        CHECK(log.error().message.find("newer") != std::string::npos);
    }

    TEST_CASE("a damaged log is told apart and not touched") {
        const Folder folder;
        const auto path = folder / "log.sqlite";
        {
            auto log = Logbook::open(path);
            REQUIRE(log);
            const auto session = must_begin(**log);
            for (std::uint32_t i = 0; i < 200; ++i) {
                REQUIRE((*log)->put_note(session, horn::Tuning{}, some_note(i)));
            }
        }
        {
            std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
            file.seekp(4096);
            file << std::string(8192, '\x5a');
        }
        auto log = Logbook::open_for_reading(path);
        const std::string message = log ? (*log)->sessions().error().message : log.error().message;
        CHECK(message.find("is damaged") != std::string::npos);
    }

    TEST_CASE("a locked log is said after a short wait, and works once it is free") {
        const Folder folder;
        const auto path = folder / "log.sqlite";
        auto log = Logbook::open(path);
        REQUIRE(log);
        const auto session = must_begin(**log);
        sqlite3* other = nullptr;
        REQUIRE(sqlite3_open(path.string().c_str(), &other) == SQLITE_OK);
        REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
        const auto refused = (*log)->put_note(session, horn::Tuning{}, some_note(0));
        REQUIRE_FALSE(refused);
        CHECK(refused.error().message.find("locked") != std::string::npos);
        sqlite3_exec(other, "COMMIT", nullptr, nullptr, nullptr);
        sqlite3_close(other);
        CHECK((*log)->put_note(session, horn::Tuning{}, some_note(0)));
    }

    TEST_CASE("a folder that cannot be made is named") {
        const Folder folder;
        std::ofstream(folder / "file") << "a file holds no folder";
        const auto log = Logbook::open(folder / "file/below/log.sqlite");
        REQUIRE_FALSE(log);
        CHECK(log.error().message.find("below") != std::string::npos);
        CHECK(log.error().message.find("--log") != std::string::npos);
    }
}
