#include "app/demo_player.h"

#include "core/cents.h"
#include "drill/library.h"
#include "support/fake_shelf.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using app::PlantedFault;

namespace {

std::vector<drill::Asked> asked_of(const drill::Exercise& exercise) {
    drill::PlanSettings settings;
    return drill::plan_of(exercise, settings);
}

run::Run run_of(const drill::Exercise& exercise) {
    auto made = run::Run::make(
        {test::block_of(exercise, 60.0), test::block_of(exercise, 60.0)}, {}, run::Options{});
    REQUIRE(made);
    return std::move(*made);
}

std::size_t tones_laid(app::DemoPlayer& player) {
    const auto score = player.stand()->take();
    REQUIRE(score);
    return score->tones.size();
}

} // namespace

TEST_SUITE("app/demo_player") {
    TEST_CASE("an exercise is played as it is written, with two faults beyond what is allowed") {
        for (std::uint64_t seed = 1; seed <= 40; ++seed) {
            drill::Exercise exercise =
                test::exercise_of("a line", {"C4", "D4", "E4", "F4", "G4", "A4"});
            exercise.quarters_per_minute = 90.0;
            const std::vector<drill::Asked> asked = asked_of(exercise);
            app::DemoTask task;
            task.exercise = &exercise;
            task.asked = &asked;
            task.passes = 2;
            task.first_s = 1.0;
            task.seed = seed;
            const app::DemoPart part = app::demo_part(task);
            REQUIRE(part.steps.size() == 12);
            REQUIRE(part.sound.tones.size() == 12);
            CHECK(audio::check_score(part.sound, 48000.0));
            CHECK(part.planted == 2);
            int flat = 0;
            int open = 0;
            for (std::size_t i = 0; i < part.steps.size(); ++i) {
                const drill::Asked& note = asked[i % 6];
                const audio::ToneSpec& tone = part.sound.tones[i];
                CHECK(part.steps[i].step == note.step);
                // A quarter each, the tongue's silence before it.
                CHECK(tone.start_s == doctest::Approx(1.06 + static_cast<double>(i) * 60.0 / 90.0));
                const double off = cents_between(tone.f0_hz, note.target_hz);
                switch (part.steps[i].fault) {
                case PlantedFault::none:
                    CHECK(std::fabs(off) < 0.5 * note.tolerance_cents);
                    CHECK(tone.closure == horn::closure_of(note.hand));
                    break;
                case PlantedFault::flat:
                    ++flat;
                    CHECK(off < -note.tolerance_cents - 5.0);
                    break;
                case PlantedFault::sharp:
                case PlantedFault::hand_too_open:
                    ++open;
                    CHECK(note.hand != horn::Hand::open);
                    CHECK(off > note.tolerance_cents + 5.0);
                    CHECK(tone.closure < horn::closure_of(note.hand));
                    break;
                }
                CHECK((i < 6 || part.steps[i].fault == PlantedFault::none));
            }
            CHECK(flat == 1);
            CHECK(open == 1);
        }
    }

    TEST_CASE("every exercise that comes with the program can be played, swells, trills and "
              "closings too") {
        const auto library = drill::built_in_exercises();
        REQUIRE(library);
        REQUIRE(library->size() > 30);
        for (const drill::Exercise& exercise : *library) {
            const std::vector<drill::Asked> asked = asked_of(exercise);
            app::DemoTask task;
            task.exercise = &exercise;
            task.asked = &asked;
            const app::DemoPart part = app::demo_part(task);
            CHECK_MESSAGE(audio::check_score(part.sound, 48000.0), exercise.id);
            CHECK(part.steps.size() == asked.size());
        }
    }

    TEST_CASE(
        "the player follows a run: its tune, the exercise, silence, and what a pause broke off") {
        const horn::Tuning tuning;
        app::DemoPlayer player(1, tuning);
        CHECK(tones_laid(player) > 20); // its own tune
        player.follow(nullptr, tuning, 0.0);
        CHECK_FALSE(player.stand()->take());
        CHECK(player.sentence().empty());

        run::Run run = run_of(test::exercise_of("three", {"C4", "E4", "G4"}));
        player.follow(&run.state(), run.tuning(), 0.0);
        CHECK(tones_laid(player) == 3);
        CHECK(player.sentence() ==
              "This is the demo player: two faults are planted in the exercise.");
        player.follow(&run.state(), run.tuning(), 0.1);
        CHECK_FALSE(player.stand()->take()); // it is on the way

        trainer::PlayedNote note;
        note.f0_hz = run.state().asked->front().target_hz;
        note.start_s = 1.0;
        note.duration_s = 0.3;
        run.sounding(note);
        REQUIRE(run.state().stage == run::Stage::playing);
        player.follow(&run.state(), run.tuning(), 1.3);
        CHECK_FALSE(player.stand()->take());

        run.press(run::Key::pause);
        player.follow(&run.state(), run.tuning(), 1.4);
        CHECK(tones_laid(player) == 0);
        player.follow(&run.state(), run.tuning(), 1.5);
        CHECK_FALSE(player.stand()->take());
        run.press(run::Key::pause);
        player.follow(&run.state(), run.tuning(), 1.6);
        CHECK(tones_laid(player) == 2); // from the note that is asked next

        run.press(run::Key::repeat);
        player.follow(&run.state(), run.tuning(), 2.0);
        CHECK(tones_laid(player) == 3);

        horn::Tuning other = tuning;
        other.a4_hz = 430.0;
        player.follow(nullptr, other, 3.0);
        CHECK(tones_laid(player) > 20);
    }

    TEST_CASE("where a metronome counts in, the first note comes on the beat after") {
        drill::Exercise exercise = test::exercise_of("three", {"C4", "E4", "G4"});
        exercise.quarters_per_minute = 60.0;
        run::Run run = run_of(exercise);
        app::DemoPlayer player(1, run.tuning());
        (void)player.stand()->take();
        player.follow(&run.state(), run.tuning(), 0.0);
        CHECK(tones_laid(player) == 0);
        for (int beat = 0; beat < exercise.metre.beats; ++beat) {
            CHECK_FALSE(player.stand()->take());
            run.beat(0.5 + beat);
            player.follow(&run.state(), run.tuning(), 0.5 + beat);
        }
        const auto score = player.stand()->take();
        REQUIRE(score);
        REQUIRE(score->tones.size() == 3);
        CHECK(score->tones.front().start_s == doctest::Approx(1.0).epsilon(0.07));

        // Without beats nobody waits for ever.
        run::Run silent = run_of(exercise);
        app::DemoPlayer alone(1, silent.tuning());
        (void)alone.stand()->take();
        for (double now_s = 0.0; now_s < 4.0; now_s += 0.1) {
            alone.follow(&silent.state(), silent.tuning(), now_s);
        }
        CHECK(tones_laid(alone) == 3);
    }

    TEST_CASE("what a lesson asks is played again and again, two times of five with a fault") {
        const horn::Tuning tuning;
        app::DemoPlayer player(3, tuning);
        const std::size_t alone = tones_laid(player);
        const app::AskedNote asked{{65, 0}, 6, horn::Hand::three_quarters};
        player.follow(nullptr, tuning, 1.0, asked);
        const auto score = player.stand()->take();
        REQUIRE(score);
        CHECK(score->repeat);
        REQUIRE(score->tones.size() == 5);
        const double target_hz = horn::target_hz(asked.written, tuning);
        int right = 0;
        for (const audio::ToneSpec& tone : score->tones) {
            right += std::fabs(cents_between(tone.f0_hz, target_hz)) < 10.0 ? 1 : 0;
            CHECK(tone.closure > 0.5);
        }
        CHECK(right == 3);
        CHECK(player.sentence().find("two faults") != std::string::npos);
        player.follow(nullptr, tuning, 2.0, asked); // goes on
        CHECK_FALSE(player.stand()->take());
        player.follow(nullptr, tuning, 3.0, std::nullopt); // nothing is asked any more
        CHECK(tones_laid(player) == alone);
        CHECK(player.sentence().empty());
    }
}
