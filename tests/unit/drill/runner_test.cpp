#include "drill/runner.h"

#include "core/cents.h"
#include "drill/judge.h"
#include "drill/plan.h"
#include "support/performance.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;

namespace {

horn::Tuning on_f() {
    horn::Tuning tuning;
    tuning.crook = *horn::parse_crook("F");
    return tuning;
}

Exercise tune(const std::vector<const char*>& names, double quarters_per_minute = 0.0) {
    Exercise exercise;
    exercise.title = "tune";
    exercise.quarters_per_minute = quarters_per_minute;
    for (const char* const name : names) {
        Step step;
        if (name[0] != '-') {
            step.written = *horn::parse_note(name);
        }
        exercise.steps.push_back(step);
    }
    return exercise;
}

/// A player who plays what the test says.
class Hands {
public:
    Hands(const Exercise& exercise, RunSettings settings)
        : tuning_(settings.tuning), runner_(*Runner::make(exercise, settings)) {}

    void play(const char* name, double cents = 0.0, double length_s = 0.6) {
        play_hz(horn::target_hz(*horn::parse_note(name), tuning_) * std::exp2(cents / 1200.0),
                length_s);
    }
    void play_hz(double hz, double length_s = 0.6) {
        trainer::PlayedNote note;
        note.f0_hz = hz;
        const auto reading = horn::read_pitch(hz, tuning_);
        REQUIRE(reading);
        note.written = reading->written;
        note.target_hz = reading->target_hz;
        note.deviation_cents = reading->deviation_cents;
        note.attack_cents = reading->deviation_cents + attack_cents;
        note.spread_cents = 1.0;
        note.level_dbfs = level_dbfs;
        note.start_s = now_s + 0.05;
        note.duration_s = length_s - 0.05;
        note.finished = true;
        now_s += length_s;
        runner_.finished(note);
        collect();
    }
    void rest(double length_s) {
        now_s += length_s;
        runner_.advance(now_s);
        collect();
    }
    void finish() {
        runner_.finish();
        collect();
    }
    void collect() {
        Judgement judgement;
        while (runner_.next(judgement)) {
            judged.push_back(judgement);
        }
    }
    /// "0 1 2flat 3missed": steps with the first fault of each.
    [[nodiscard]] std::string story() const {
        std::string text;
        for (const Judgement& judgement : judged) {
            text += (text.empty() ? "" : " ") + std::to_string(judgement.step);
            text += judgement.extra    ? "extra"
                    : judgement.good() ? ""
                                       : fault_id(judgement.faults.front());
        }
        return text;
    }
    Runner& runner() { return runner_; }

    std::vector<Judgement> judged;
    double now_s = 0.0;
    double attack_cents = 0.0;
    double level_dbfs = -20.0;

private:
    horn::Tuning tuning_;
    Runner runner_;
};

RunSettings once() {
    RunSettings settings;
    settings.tuning = on_f();
    settings.repeat_missed = 0;
    return settings;
}

} // namespace

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
