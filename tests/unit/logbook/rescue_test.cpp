#include "logbook/rescue.h"

#include "support/environment.h"
#include "support/temporary_folder.h"

#include <fstream>

#include <doctest/doctest.h>

using namespace bellhand;
using logbook::Logbook;

namespace {

constexpr const char* kStarted = "2026-03-02T10:11:12Z";

trainer::PlayedNote note(std::uint32_t index) {
    trainer::PlayedNote note;
    note.index = index;
    note.start_s = index;
    note.duration_s = 0.8;
    note.written = *horn::parse_note("F4");
    note.hand = horn::Hand::full;
    note.f0_hz = note.target_hz = 233.0;
    note.tolerance_factor = 2.0;
    note.finished = true;
    return note;
}

logbook::SessionRecord session() {
    logbook::SessionRecord record;
    record.started_at = kStarted;
    record.input = "microphone";
    record.crook = "F";
    record.temperament = "equal";
    return record;
}

/// Notes from..to with a block, a judged step and a skill, as a session leaves them that the log refused.
void leave_behind(const std::filesystem::path& log,
                  const std::filesystem::path& folder,
                  std::uint32_t from,
                  std::uint32_t to) {
    auto book = logbook::open_rescue(log, folder, kStarted).value();
    const auto id = book->begin_session(session()).value();
    for (std::uint32_t i = from; i <= to; ++i) {
        REQUIRE(book->put_note(id, {}, note(i)));
    }
    logbook::BlockRecord block;
    block.homework = "week-one";
    REQUIRE(book->put_block(id, block));
    logbook::JudgedStep step;
    step.asked = *horn::parse_note("F4");
    step.judgement.played = true;
    step.judgement.note.index = to;
    step.judgement.faults = {drill::Fault::flat};
    REQUIRE(book->put_step(id, 0, step));
    logbook::SkillRow row;
    row.written = 65;
    row.values[0] = 7.0;
    row.updated_s = 100.0;
    REQUIRE(book->put_skill(std::vector{row}));
    REQUIRE(book->end_session(id, 12.0));
}

} // namespace

TEST_SUITE("logbook/rescue") {
    TEST_CASE("what the log could not take comes back whole, and its file goes") {
        test::TemporaryFolder folder;
        const auto log = folder / "log.sqlite";
        leave_behind(log, folder.path(), 0, 2);
        auto book = Logbook::open(log).value();
        REQUIRE(logbook::rescued_for(log).size() == 1);
        const auto said = logbook::bring_back(log, *book);
        REQUIRE(said.size() == 1);
        CHECK(said[0] == "3 notes of 2026-03-02 that the log could not take then are in it now.");
        CHECK(logbook::rescued_for(log).empty());
        const auto sessions = book->sessions().value();
        REQUIRE(sessions.size() == 1);
        CHECK(sessions[0].started_at == kStarted);
        CHECK(sessions[0].duration_s == 12.0);
        const auto notes = book->notes(sessions[0].id).value();
        REQUIRE(notes.size() == 3);
        CHECK(notes[2].tolerance_cents == doctest::Approx(30.0));
        CHECK(book->blocks(sessions[0].id).value().at(0).homework == "week-one");
        const auto steps = book->steps(sessions[0].id).value();
        REQUIRE(steps.size() == 1);
        CHECK(steps[0].judgement.faults == std::vector{drill::Fault::flat});
        CHECK(book->skill().value().at(0).values[0] == 7.0);
        CHECK(logbook::bring_back(log, *book).empty());
    }

    TEST_CASE("notes that came too late join their own session, twice the same is once") {
        test::TemporaryFolder folder;
        const auto log = folder / "log.sqlite";
        auto book = Logbook::open(log).value();
        const auto id = book->begin_session(session()).value();
        REQUIRE(book->put_note(id, {}, note(0)));
        logbook::SkillRow newer;
        newer.written = 65;
        newer.values[0] = 9.0;
        newer.updated_s = 200.0;
        REQUIRE(book->put_skill(std::vector{newer}));
        for (int time = 0; time < 2; ++time) { // as if killed before the file was removed
            leave_behind(log, folder.path(), 1, 3);
            CHECK(logbook::bring_back(log, *book).size() == 1);
        }
        REQUIRE(book->sessions().value().size() == 1);
        CHECK(book->sessions().value()[0].notes == 4);
        CHECK(book->notes(id).value().size() == 4);
        CHECK(book->skill().value().at(0).values[0] == 9.0); // the log knew better by then
    }

    TEST_CASE("what cannot be read stays, and is told") {
        test::TemporaryFolder folder;
        const auto log = folder / "log.sqlite";
        auto book = Logbook::open(log).value();
        const auto waiting = logbook::rescue_path(log, folder.path(), kStarted);
        std::ofstream(waiting) << "no log at all, but somebody's notes perhaps";
        const auto said = logbook::bring_back(log, *book);
        REQUIRE(said.size() == 1);
        CHECK(said[0].find(waiting.filename().string()) != std::string::npos);
        CHECK(std::filesystem::exists(waiting));
    }

    TEST_CASE("in the temporary folder only what names this log is taken") {
        test::TemporaryFolder folder;
        test::TemporaryFolder temporary;
        const test::Variable posix("TMPDIR", temporary.path().string());
        const test::Variable windows("TMP", temporary.path().string());
        const auto log = folder / "log.sqlite";
        const auto others = temporary / "elsewhere/log.sqlite";
        leave_behind(others, temporary.path(), 0, 0);
        CHECK(logbook::rescued_for(log).empty());
        std::filesystem::remove(logbook::rescue_path(others, temporary.path(), kStarted));
        leave_behind(log, temporary.path(), 0, 1);
        auto book = Logbook::open(log).value();
        CHECK(logbook::rescued_for(log).size() == 1);
        CHECK(logbook::bring_back(log, *book).size() == 1);
        CHECK(book->notes(1).value().size() == 2);
    }
}
