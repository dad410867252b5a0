#include "drill/runner.h"

#include "drill/judge.h"
#include "hands.h"
#include "support/performance.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;
using test::Hands;
using test::on_f;
using test::once;
using test::tune;

TEST_SUITE("drill/runner") {
    TEST_CASE("what is played as written is good, one note behind") {
        Hands hands(tune({"C4", "E4", "G4", "C5"}), once());
        CHECK(hands.runner().where().phase == Phase::waiting);
        hands.play("C4");
        CHECK(hands.story() == "");
        CHECK(hands.runner().where().next == 1);
        hands.play("E4");
        CHECK(hands.story() == "0");
        hands.play("G4");
        hands.play("C5");
        CHECK(hands.story() == "0 1 2");
        hands.rest(2.0);
        CHECK(hands.story() == "0 1 2 3");
        CHECK(hands.runner().where().phase == Phase::finished);
        CHECK(hands.runner().where().good == 4);
    }

    TEST_CASE(
        "a neighbour, another note, a left out note, a note too many, each is called what it is") {
        Hands hands(tune({"C5", "D5", "E5", "F5", "G5", "C5", "E5", "G5"}), once());
        hands.play("C5");
        hands.play_hz(10.0 * horn::fundamental_hz(on_f())); // partial 10 instead of 9
        hands.play_hz(9.0 * horn::fundamental_hz(on_f()));  // and once more
        hands.play("E5");
        hands.play("G5");  // without F
        hands.play("Eb4"); // before C
        hands.play("C5");
        hands.play("F4"); // instead of E
        hands.play("G5");
        hands.play("Eb4"); // nothing is left to play
        hands.finish();
        CHECK(hands.story() == "0 1wrong-partial 1 2 3missed 4 5wrong-note 5 6wrong-note 7 7extra");
    }

    TEST_CASE("before the first note it waits, and counts in once the metronome beats") {
        Hands hands(tune({"C4", "E4"}, 100.0), once());
        hands.rest(0.5);
        CHECK(hands.runner().where().phase == Phase::waiting);
        hands.runner().beat(0.6, true);
        hands.rest(0.2);
        CHECK(hands.runner().where().phase == Phase::count_in);
    }

    TEST_CASE("starting again and saying a bar again is followed") {
        Exercise exercise = tune({"C4", "D4", "E4", "F4", "G4", "F4", "E4", "D4", "C4"}, 100.0);
        Hands hands(exercise, once());
        for (const char* const name :
             {"C4", "D4", "E4", "C4", "D4", "E4", "F4", "G4", "F4", "E4"}) {
            hands.play(name);
        }
        hands.rest(1.5);
        for (const char* const name : {"G4", "F4", "E4", "D4", "C4"}) {
            hands.play(name);
        }
        hands.finish();
        std::string steps;
        for (const Judgement& judgement : hands.judged) {
            CHECK_FALSE(
                std::count(judgement.faults.begin(), judgement.faults.end(), Fault::missed));
            steps += std::to_string(judgement.step);
        }
        CHECK(steps == "012012345645678");
    }

    TEST_CASE("steps left out on the way are missed, a cut to another passage leaves none missed") {
        const Exercise melody = test::random_melody(*horn::parse_crook("F"), 48, 3);
        for (const std::size_t cut : {2U, 20U}) {
            CAPTURE(cut);
            Hands hands(melody, once());
            for (std::size_t step = 0; step < 22 + cut; ++step) {
                if ((step < 10 || step >= 10 + cut) && melody.steps[step].written) {
                    hands.play_hz(horn::target_hz(*melody.steps[step].written, on_f()));
                }
            }
            const auto missed = std::count_if(
                hands.judged.begin(), hands.judged.end(), [cut](const Judgement& judgement) {
                    return !judgement.played && judgement.step >= 10 && judgement.step < 10 + cut;
                });
            CHECK((missed > 0) == (cut == 2));
        }
    }

    TEST_CASE("a repetition begun without its first note is the next one, not the same again") {
        Exercise exercise =
            tune({"C4", "E4", "G4", "C5", "D5", "E5", "F5", "G5", "E5", "C5", "G4", "C4"}, 100.0);
        exercise.repetitions = 2;
        Hands hands(exercise, once());
        for (const Step& step : exercise.steps) {
            hands.play(horn::ascii_name(*step.written).c_str());
        }
        for (std::size_t i = 2; i < exercise.steps.size(); ++i) {
            hands.play(horn::ascii_name(*exercise.steps[i].written).c_str());
        }
        hands.rest(4.0);
        CHECK(hands.runner().where().phase == Phase::finished);
        CHECK(hands.story() == "0 1 2 3 4 5 6 7 8 9 10 11 0missed 1missed 2 3 4 5 6 7 8 9 10 11");
    }

    TEST_CASE("a note that fits only behind a gap, and from which the player goes back, is wrong") {
        Hands hands(tune({"C4", "G4", "C5", "D5", "E5", "F5", "G5", "E5"}, 100.0), once());
        for (const char* const name : {"C4", "G4", "C5"}) {
            hands.play(name);
        }
        hands.play("E5"); // for D5
        hands.rest(1.2);
        for (const char* const name : {"D5", "E5", "F5", "G5", "E5"}) {
            hands.play(name);
        }
        hands.finish();
        CHECK(hands.story().rfind("0 1 2 3wrong-", 0) == 0);
        CHECK(hands.judged.size() == 9);
    }

    TEST_CASE("at whatever bar the player goes on, the place is found within six notes") {
        Exercise exercise = test::random_melody(*horn::parse_crook("F"), 60, 5);
        RunSettings settings = once();
        Hands hands(exercise, settings);
        const std::vector<Asked> plan = hands.runner().asked();
        for (std::size_t from : {0U, 33U, 9U, 48U, 20U}) {
            while (!plan[from].bar_begins) {
                ++from;
            }
            for (std::size_t i = from; i < from + 6; ++i) {
                hands.play_hz(plan[i].target_hz);
            }
            CHECK(hands.runner().where().step == plan[from + 5].step);
        }
    }

    TEST_CASE("bars with missed notes are asked again once the rest is over") {
        Exercise exercise = tune({"C4", "E4", "G4", "C5", "D5", "E5", "G5", "C5", "-"}, 100.0);
        RunSettings settings = once();
        settings.repeat_missed = 1;
        Hands hands(exercise, settings);
        for (const char* const name : {"C4", "E4", "G4", "C5", "D5", "C5", "G5", "C5"}) {
            hands.play(name);
        }
        hands.rest(4.0);
        CHECK(hands.runner().where().phase != Phase::finished);
        CHECK(hands.runner().where().repeating_missed);
        CHECK(hands.runner().where().next == 4);
        for (const char* const name : {"D5", "E5", "G5", "C5"}) {
            hands.play(name);
        }
        hands.rest(4.0);
        CHECK(hands.runner().where().phase == Phase::finished);
        CHECK(hands.story() == "0 1 2 3 4 5wrong-partial 6 7 4 5 6 7");
        CHECK(hands.judged.back().pass == 1);
    }

    TEST_CASE("one tune on two crooks: the next crook is asked for and the tuning follows") {
        Exercise exercise = tune({"C4", "E4", "G4"});
        exercise.each_crook = true;
        exercise.crooks = {-7, -9};
        Hands hands(exercise, once());
        hands.play("C4");
        hands.play("E4");
        hands.play("G4");
        hands.rest(2.0);
        const Where& where = hands.runner().where();
        CHECK(where.phase == Phase::new_crook);
        CHECK(where.part == 1);
        CHECK(where.parts == 2);
        CHECK(where.tuning.crook.transposition == -9);
        for (const double partial : {4.0, 5.0, 6.0}) {
            hands.play_hz(partial * horn::fundamental_hz(where.tuning));
        }
        hands.rest(2.0);
        CHECK(hands.runner().where().phase == Phase::finished);
        CHECK(hands.judged.size() == 6);
        CHECK(hands.judged[5].part == 1);
        CHECK(hands.story() == "0 1 2 0 1flat 2"); // partial 5 is low against equal temperament
    }

    TEST_CASE("a sounding note moves the place before it ends") {
        Hands hands(tune({"C4", "E4", "G4"}), once());
        hands.play("C4");
        trainer::PlayedNote note;
        note.f0_hz = horn::target_hz(*horn::parse_note("E4"), on_f());
        note.start_s = hands.now_s;
        note.duration_s = 0.2;
        hands.runner().sounding(note);
        CHECK(hands.runner().where().sounding);
        CHECK(hands.runner().where().step == 1);
        CHECK(hands.runner().where().next == 2);
        CHECK(hands.judged.empty());
        // It never became a note: the program does not wait for its end.
        hands.runner().advance(hands.now_s + 1.0);
        CHECK_FALSE(hands.runner().where().sounding);
        CHECK(hands.runner().where().next == 1);
    }

    TEST_CASE("what no horn plays and what is empty is refused in a sentence") {
        Exercise exercise = tune({"C4", "C9"});
        const auto high = Runner::make(exercise, once());
        REQUIRE_FALSE(high);
        CHECK(high.error().message.find("C9") != std::string::npos);
        CHECK_FALSE(Runner::make(tune({"-"}), once()));
        RunSettings beyond = once();
        beyond.last_step = 7;
        CHECK_FALSE(Runner::make(tune({"C4"}), beyond));
    }
}
