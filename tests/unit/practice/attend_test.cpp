#include "practice/attend.h"

#include "logbook/logbook.h"
#include "support/fake_practice.h"
#include "support/take_sound.h"
#include "support/temporary_folder.h"

#include <algorithm>

#include <doctest/doctest.h>

using namespace bellhand;
using run::Run;

namespace {

skill::PlannedBlock block_on(const char* crook) {
    skill::PlannedBlock block;
    block.exercise.id = "tune";
    block.exercise.title = "Tune";
    drill::Step step;
    step.written = *horn::parse_note("C4");
    block.exercise.steps.push_back(step);
    block.crook = *horn::parse_crook(crook);
    block.play_s = 60.0;
    return block;
}

} // namespace

TEST_SUITE("practice/attend") {
    TEST_CASE("the practice listens with the first block's tuning from the first call on") {
        auto state = std::make_shared<test::FakeState>();
        test::FakePractice practice(state);
        skill::PlannedBlock low = block_on("D");
        low.a4_hz = 430.0;
        auto running = *Run::make({low}, {}, {});
        practice::Heard heard;
        practice::attend(practice, running, heard);
        CHECK(state->tuning == running.tuning());
        CHECK(state->tuning.a4_hz == 430.0);
        CHECK(state->tuning.crook == *horn::parse_crook("D"));
    }

    TEST_CASE("homework is recorded from its first note to its end, and what is kept, too") {
        const test::TemporaryFolder folder;
        const auto log = folder / "log.sqlite";
        const std::int64_t session = logbook::Logbook::open(log).value()->begin_session({}).value();
        auto memory = std::make_shared<takes::SoundMemory>(20.0);
        auto state = std::make_shared<test::FakeState>();
        state->recorder = std::make_shared<takes::Recorder>(
            memory, takes::Recorder::Options{log, {}, [session] { return session; }});
        test::FakePractice practice(state);
        skill::PlannedBlock work = block_on("F");
        work.homework = "week-one";
        auto running = *Run::make({work}, {}, {});
        practice::Heard heard;
        const auto hear = [&](double until_s, const char* note) {
            for (; state->elapsed_s < until_s; state->elapsed_s += 0.1) {
                const auto heard_samples = static_cast<std::uint64_t>(state->elapsed_s * 48000.0);
                test::hear_counted(*memory, heard_samples, heard_samples + 4800);
                if (note != nullptr) {
                    state->readings.push_back(test::reading_of(
                        state->elapsed_s, *horn::parse_note(note), 0.0, running.tuning()));
                }
                practice::attend(practice, running, heard);
            }
        };
        hear(2.0, nullptr);
        trainer::PlayedNote sounding;
        sounding.start_s = 2.0;
        sounding.written = *horn::parse_note("C4");
        sounding.duration_s = 0.5;
        sounding.f0_hz = horn::target_hz(sounding.written, running.tuning());
        state->sounding = sounding;
        hear(4.0, "C4");
        running.press(run::Key::keep);
        hear(6.0, "C4");
        practice::conclude(practice, running);
        state->recorder->finish();
        const auto takes = logbook::Logbook::open(log).value()->all_takes().value();
        REQUIRE(takes.size() >= 1);
        CHECK(std::any_of(takes.begin(), takes.end(), [](const auto& take) { return take.kept; }));
        CHECK(std::any_of(takes.begin(), takes.end(), [](const auto& take) {
            return take.block == 0 && take.why == "homework" && take.duration_s > 3.0;
        }));
    }

    TEST_CASE("a key that changes the block changes what is listened with, and whose hand it is") {
        auto state = std::make_shared<test::FakeState>();
        test::FakePractice practice(state);
        auto running = *Run::make({block_on("F"), block_on("Eb")}, {}, {});
        practice::Heard heard;
        int changes = 0;
        const practice::OwnHandOn own =
            [&](const horn::Tuning& tuning) -> std::optional<practice::OwnHand> {
            ++changes;
            practice::OwnHand hand;
            hand.response = horn::hand_response(tuning);
            hand.response.source = tuning.crook.id;
            return hand;
        };
        practice::attend(practice, running, heard, own);
        practice::attend(practice, running, heard, own);
        REQUIRE(state->own);
        CHECK(state->own->response.source == "F");
        running.press(run::Key::next); // to the rest, or to the next block
        running.press(run::Key::next);
        REQUIRE(running.tuning().crook == *horn::parse_crook("Eb"));
        practice::attend(practice, running, heard, own);
        CHECK(state->tuning == running.tuning());
        CHECK(state->own->response.source == "Eb");
        CHECK(changes == 2); // each once: setting it again would break a note that sounds
    }
}
