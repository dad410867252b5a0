// Whatever the trainer wants to keep, a log that refuses says so in one sentence, keeps nothing of it by halves, and
// takes it when it can again.
#include "logbook/logbook.h"
#include "support/failing_log.h"
#include "support/temporary_folder.h"

#include <optional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using logbook::Logbook;

namespace {

/// All that is written of one exercise, as one unit.
Result<void> keep_exercise(Logbook& log, std::int64_t session) {
    return log.together([&]() -> Result<void> {
        logbook::BlockRecord block;
        block.exercise = "hand-pairs";
        block.title = std::string(6000, 'x'); // more than a page, so that a full disk shows
        logbook::JudgedStep step;
        step.judgement.faults = {drill::Fault::flat};
        trainer::PlayedNote note;
        note.finished = true;
        logbook::TakeRecord take;
        take.session = session;
        take.file = "take.flac";
        return log.put_block(session, block)
            .and_then([&] { return log.put_note(session, {}, note); })
            .and_then([&] { return log.put_step(session, 0, step); })
            .and_then([&] { return log.put_take(take).map([](std::int64_t) {}); })
            .and_then([&] { return log.put_setting("takes_budget_bytes", "5"); });
    });
}

void check_nothing(Logbook& log, std::int64_t session) {
    CHECK(log.blocks(session).value().empty());
    CHECK(log.notes(session).value().empty());
    CHECK(log.takes(session).value().empty());
    CHECK(log.note_tallies(std::nullopt).value().empty());
}

void check_all(Logbook& log, std::int64_t session) {
    CHECK(log.blocks(session).value().size() == 1);
    CHECK(log.notes(session).value().size() == 1);
    CHECK(log.steps(session).value().size() == 1);
    CHECK(log.takes(session).value().size() == 1);
    CHECK(log.note_tallies(std::nullopt).value().size() == 1);
    CHECK(log.step_tallies(std::nullopt).value().size() == 1);
}

} // namespace

TEST_CASE("a locked log refuses an exercise whole, and takes it when it is free") {
    const test::TemporaryFolder folder;
    auto log = Logbook::open(folder / "log.sqlite").value();
    const auto session = log->begin_session({}).value();
    std::optional<test::LockedLog> lock(std::in_place, folder / "log.sqlite", "BEGIN IMMEDIATE");
    const auto refused = keep_exercise(*log, session);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().message.find("locked") != std::string::npos);
    check_nothing(*log, session);
    lock.reset();
    REQUIRE(keep_exercise(*log, session));
    REQUIRE(keep_exercise(*log, session)); // a write of unknown fate may be repeated
    check_all(*log, session);
}

TEST_CASE("a full disk refuses an exercise whole, and takes it when there is room") {
    const test::TemporaryFolder folder;
    auto log = Logbook::open(folder / "log.sqlite").value();
    const auto session = log->begin_session({}).value();
    std::optional<test::FullDisk> full(std::in_place);
    const auto refused = keep_exercise(*log, session);
    full.reset();
    REQUIRE_FALSE(refused);
    CHECK_FALSE(refused.error().message.empty());
    check_nothing(*log, session);
    REQUIRE(keep_exercise(*log, session));
    check_all(*log, session);
}

TEST_CASE("a log opened for looking refuses every change and stays as it was") {
    const test::TemporaryFolder folder;
    std::int64_t session = 0;
    {
        auto log = Logbook::open(folder / "log.sqlite").value();
        session = log->begin_session({}).value();
    }
    auto log = Logbook::open_for_reading(folder / "log.sqlite").value();
    const auto refused = keep_exercise(*log, session);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().message.find("may only be read") != std::string::npos);
    CHECK_FALSE(log->delete_session(session));
    check_nothing(*log, session);
}
