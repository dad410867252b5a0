// The log fails while a lesson goes on; what was judged is kept and saved when it can be.
#include "logbook/logbook.h"
#include "practice/practice.h"
#include "support/failing_log.h"
#include "support/played_source.h"
#include "support/temporary_folder.h"

#include <filesystem>

#include <doctest/doctest.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

std::unique_ptr<practice::Practice> practise(const fs::path& log) {
    auto started = practice::Practice::start(
        std::make_unique<test::PlayedSource>(
            std::vector<test::PlayedSource::Piece>{{std::vector<float>(4800, 0.0F)}}, true),
        {horn::Tuning{}, log});
    REQUIRE(started);
    return std::move(*started);
}

logbook::BlockRecord block(std::uint32_t number) {
    logbook::BlockRecord block;
    block.number = number;
    block.exercise = "long-notes";
    block.title = "Long notes";
    block.crook = "F";
    block.temperament = "equal";
    return block;
}

run::StepRecord step(std::uint32_t block, std::uint32_t number) {
    run::StepRecord record;
    record.block = block;
    record.step.number = number;
    record.step.asked = horn::usual_spelling(65);
    record.step.judgement.step = number;
    record.step.judgement.played = true;
    record.step.judgement.faults = {drill::Fault::flat};
    logbook::SkillRow row;
    row.written = 65;
    row.values[0] = number + 1.0;
    record.skills = {row};
    return record;
}

struct Kept {
    std::size_t blocks = 0;
    std::size_t steps = 0;
    double skill = 0.0;
};

Kept kept_in(const fs::path& log) {
    auto book = logbook::Logbook::open_for_reading(log);
    REQUIRE(book);
    const auto sessions = (*book)->sessions();
    REQUIRE(sessions);
    REQUIRE_FALSE(sessions->empty());
    const std::int64_t session = sessions->front().id;
    const auto skill = (*book)->skill();
    REQUIRE(skill);
    return {(*book)->blocks(session)->size(),
            (*book)->steps(session)->size(),
            skill->empty() ? 0.0 : skill->front().values[0]};
}

} // namespace

TEST_CASE("what a lesson judged waits for a locked log, and is saved when that lets go") {
    const test::TemporaryFolder folder;
    const fs::path log = folder / "log.sqlite";
    std::unique_ptr<practice::Practice> practice;
    {
        const test::LockedLog lock(log);
        practice = practise(log);
        practice->log(block(0));
        for (std::uint32_t number = 0; number < 40; ++number) {
            practice->log(step(0, number));
        }
        REQUIRE(test::wait_for([&] { return practice->log_status().unsaved_records == 41; }));
        CHECK(test::wait_for([&] { return !practice->log_status().message.empty(); }));
    }
    REQUIRE(test::wait_for([&] { return practice->log_status().unsaved_records == 0; }));
    CHECK(test::wait_for([&] { return practice->log_status().message.empty(); }));
    practice->stop();
    const Kept kept = kept_in(log);
    CHECK(kept.blocks == 1);
    CHECK(kept.steps == 40);
    CHECK(kept.skill == doctest::Approx(40.0));
}

TEST_CASE("a log that is locked in the middle of a block: the rest goes to a file of its own, with "
          "its block") {
    const test::TemporaryFolder folder;
    const fs::path log = folder / "log.sqlite";
    auto practice = practise(log);
    practice->log(block(0));
    practice->log(step(0, 0));
    REQUIRE(test::wait_for([&] {
        return practice->log_status().saving && practice->log_status().unsaved_records == 0;
    }));
    {
        const test::LockedLog lock(log);
        practice->log(step(0, 1));
        practice->log(step(0, 2));
        practice->stop();
    }
    const fs::path rescued = test::rescued_in(folder.path());
    REQUIRE_FALSE(rescued.empty());
    CHECK(practice->log_status().message.find(rescued.string()) != std::string::npos);
    CHECK(kept_in(log).steps == 1);
    CHECK(kept_in(rescued).blocks == 1);
    CHECK(kept_in(rescued).steps == 2);
}
