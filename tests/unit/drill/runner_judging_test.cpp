#include "core/cents.h"
#include "drill/plan.h"
#include "hands.h"

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

TEST_SUITE("drill/runner_judging") {
    TEST_CASE("pitch is judged against what the measure asks: a third above the drone is just") {
        Exercise exercise = tune({"C4", "E4"});
        exercise.measure = Measure::chord;
        exercise.root = horn::parse_note("C4").value();
        Hands just(exercise, once());
        just.play("C4");
        just.play("E4", -13.7);
        just.finish();
        CHECK(just.story() == "0 1");
        exercise.measure = Measure::temperament;
        Hands equal(exercise, once());
        equal.play("C4");
        equal.play("E4", -13.7);
        equal.finish();
        CHECK(equal.story() == "0 1flat");
    }

    TEST_CASE("just intervals above the root, in cents") {
        // Ratios 16/15 to 15/8 as published tables give them in cents (e.g. Barbour 1951, just intonation).
        const double expected[] = {0.0,
                                   111.73,
                                   203.91,
                                   315.64,
                                   386.31,
                                   498.04,
                                   590.22,
                                   701.96,
                                   813.69,
                                   884.36,
                                   1017.60,
                                   1088.27};
        const horn::Note root{60, 0};
        for (int step = -12; step < 24; ++step) {
            const double hz =
                measured_hz(horn::usual_spelling(60 + step), on_f(), Measure::chord, root);
            const int octave = step < 0 ? -1 : step / 12;
            CHECK(std::fabs(cents_between(hz, horn::target_hz(root, on_f())) - 1200.0 * octave -
                            expected[step - 12 * octave]) < 0.006);
        }
    }

    TEST_CASE("a false partial is judged against the chosen target") {
        Exercise exercise = tune({"Bb4", "C5"});
        exercise.steps[0].partial = 7;
        exercise.steps[0].hand = horn::Hand::open;
        exercise.steps[0].target_offset_cents = -31.17;
        Hands hands(exercise, once());
        hands.play_hz(7.0 * horn::fundamental_hz(on_f()));
        hands.play("C5");
        hands.finish();
        CHECK(hands.story() == "0 1");
    }

    TEST_CASE("the attack is told apart from what is held") {
        Hands hands(tune({"C4", "E4", "G4"}), once());
        hands.attack_cents = -60.0;
        hands.play("C4");
        hands.attack_cents = 60.0;
        hands.play("E4");
        hands.attack_cents = 10.0;
        hands.play("G4");
        hands.finish();
        CHECK(hands.story() == "0attack-flat 1attack-sharp 2");
    }

    TEST_CASE("in a slur the way over from the note before is no fault of the attack") {
        Exercise exercise = tune({"C4", "E4", "G4"});
        exercise.steps[1].slurred = true;
        Hands hands(exercise, once());
        hands.play("C4");
        hands.attack_cents = -60.0;
        hands.play("E4");
        hands.play("G4");
        hands.finish();
        CHECK(hands.story() == "0 1 2attack-flat");
    }

    TEST_CASE("with a tempo lengths and starts count, against the beat or from note to note") {
        Exercise exercise = tune({"C4", "E4", "G4", "E4", "C4"}, 100.0); // 0.6 s
        for (const bool beats : {false, true}) {
            Hands hands(exercise, once());
            if (beats) {
                for (int beat = -4; beat < 9; ++beat) {
                    // Heard in time; all before the notes here, since only their times count.
                    if (beat < 0) {
                        hands.runner().beat(hands.now_s + 0.05);
                        hands.now_s += 0.6;
                    }
                }
                CHECK(hands.runner().where().beats_to_go == 0);
                CHECK(hands.runner().where().phase == Phase::count_in);
            }
            hands.play("C4");
            hands.play("E4");
            hands.now_s += 0.2;
            hands.play("G4", 0.0, 0.6);
            hands.play("E4", 0.0, 0.25);
            hands.rest(0.35);
            hands.play("C4");
            hands.finish();
            // The pulse goes on from the late note: it is told once.
            CHECK(hands.story() == "0 1 2late 3too-short 4");
            CHECK(hands.judged[2].timing_s.value() == doctest::Approx(0.2).epsilon(0.01));
        }
    }

    TEST_CASE("evenness is judged against both neighbours, and only where it is asked") {
        Exercise exercise = tune({"C4", "E4", "G4", "E4", "C4"});
        for (const bool even : {true, false}) {
            exercise.even = even;
            Hands hands(exercise, once());
            hands.play("C4");
            hands.play("E4");
            hands.level_dbfs = -10.0;
            hands.play("G4");
            hands.level_dbfs = -20.0;
            hands.play("E4");
            hands.play("C4");
            hands.finish();
            CHECK(hands.story() == (even ? "0 1 2too-loud 3 4" : "0 1 2 3 4"));
        }
    }

    TEST_CASE("another colour than the note before is told where evenness is asked") {
        Exercise exercise = tune({"G4", "Ab4"});
        exercise.even = true;
        for (const double octaves : {0.5, 2.5}) {
            PlanSettings settings;
            settings.tuning = on_f();
            const Asked asked = plan_of(exercise, settings)[1];
            trainer::PlayedNote note;
            note.f0_hz = note.target_hz = asked.target_hz;
            note.duration_s = 1.0;
            note.heard.match.known = true;
            note.heard.match.centroid_octaves = octaves;
            Circumstances around;
            around.colour_as_before = true;
            CHECK(judged(asked, note, around).good() == (octaves < 1.0));
            note.heard.match_open_and_stopped = true; // a full stop is brighter, and may be
            CHECK(judged(asked, note, around).good());
            note.heard.match_open_and_stopped = false;
            around.colour_as_before = false;
            CHECK(judged(asked, note, around).good());
        }
    }

    TEST_CASE("what the whole horn is off is held against no note") {
        Exercise exercise = tune({"G4"});
        PlanSettings settings;
        settings.tuning = on_f();
        const Asked asked = plan_of(exercise, settings)[0];
        trainer::PlayedNote note;
        note.target_hz = asked.target_hz;
        note.f0_hz = asked.target_hz * std::exp2(20.0 / 1200.0);
        note.attack_cents = 20.0;
        note.duration_s = 1.0;
        CHECK(judged(asked, note, {}).faults == std::vector<Fault>{Fault::sharp});
        note.heard.common_cents = 18.0;
        CHECK(judged(asked, note, {}).good());
        note.heard.common_cents = 40.0; // against a horn that high, it is flat
        CHECK(judged(asked, note, {}).faults == std::vector<Fault>{Fault::flat});
    }

    TEST_CASE("the hand is judged by timbre only when that is sure, and a degree beside passes") {
        Exercise exercise = tune({"G4"});
        PlanSettings settings;
        settings.tuning = on_f();
        const Asked asked = plan_of(exercise, settings)[0];
        trainer::PlayedNote note;
        note.f0_hz = note.target_hz = asked.target_hz;
        note.duration_s = 1.0;
        note.heard.heard = true;
        hand::HandEstimate& estimate = note.heard.estimate;
        estimate.timbre_known = true;
        estimate.position.known = true;
        estimate.position.partial = asked.partial;
        estimate.position.partial_share = 0.98;
        estimate.position.degrees = {0.0, 0.02, 0.0, 0.08, 0.9};
        CHECK(judged(asked, note, {}).faults == std::vector<Fault>{Fault::wrong_hand});
        estimate.position.partial_share = 0.6; // another partial may be what sounds
        CHECK(judged(asked, note, {}).good());
        estimate.position.partial_share = 0.98;
        estimate.position.degrees = {0.3, 0.1, 0.0, 0.0, 0.6}; // not sure
        CHECK(judged(asked, note, {}).good());
        estimate.position.degrees = {0.0, 1.0, 0.0, 0.0, 0.0}; // a quarter instead of open
        CHECK(judged(asked, note, {}).good());
        estimate.position.degrees = {0.0, 0.0, 0.0, 0.0, 1.0};
        estimate.narrow_band = true; // through a call
        CHECK(judged(asked, note, {}).good());
    }
}
