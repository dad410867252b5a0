#include "run_player.h"
#include "skill/focus.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using run::Key;
using run::Run;
using run::Stage;
using test::block;
using test::tune;

TEST_SUITE("run/judging") {
    TEST_CASE(
        "homework is listened to, judged and logged at the pitch and temperament it asks for") {
        const char* const kNames[] = {"C4", "E4", "G4"};
        skill::PlannedBlock set = block(tune({"C4", "E4", "G4"}));
        set.a4_hz = 430.0;
        set.temperament = horn::parse_temperament("vallotti").value();
        run::Options options;
        options.tuning.a4_hz = 442.0;
        test::Player player({set, block(tune({"C4", "E4", "G4"}))}, options);
        CHECK(player.running.tuning() == skill::tuning_of(set, options.tuning));
        REQUIRE(player.state().asked->size() == 3);
        for (const drill::Asked& asked : *player.state().asked) {
            CHECK(asked.target_hz == doctest::Approx(horn::target_hz(
                                         asked.written, skill::tuning_of(set, options.tuning))));
        }
        for (const char* const name : kNames) {
            player.play(name);
        }
        player.wait(3.0);
        const auto steps = player.steps();
        REQUIRE(steps.size() == 3);
        for (std::size_t i = 0; i < steps.size(); ++i) {
            CHECK(steps[i].step.judgement.good());
            CHECK(std::abs(steps[i].step.judgement.held_cents) < 0.01);
        }
        CHECK(player.last_block().a4_hz == 430.0);
        CHECK(player.last_block().temperament == "vallotti");
        REQUIRE(player.state().stage == Stage::rest);
        player.running.press(Key::next);
        CHECK(player.running.tuning() == options.tuning); // the day's again
    }

    TEST_CASE("a drone of homework stands at its pitch") {
        skill::PlannedBlock set = block(tune({"C4", "G4"}));
        set.exercise.measure = drill::Measure::chord;
        set.exercise.root = *horn::parse_note("C4");
        set.a4_hz = 430.0;
        const test::Player player({set});
        CHECK(player.running.sound().drone_hz[0] ==
              doctest::Approx(horn::target_hz(*horn::parse_note("C4"), skill::tuning_of(set, {}))));
    }

    TEST_CASE("notes are judged by the player's tolerances, times what homework asks") {
        run::Options options;
        options.tolerances.pitch_factor = 1.6;
        skill::PlannedBlock set = block(tune({"C4", "G4"}));
        set.exercise.steps[1].tolerance_cents = 30.0; // of the exercise itself
        for (const auto& [factor, good] : {std::pair(1.0, true), std::pair(0.5, false)}) {
            CAPTURE(factor);
            set.tolerance_factor = factor;
            test::Player player({set}, options);
            player.play("C4", 7.0); // off by more than the usual 5, less than the player's 8
            player.play("G4", 20.0);
            player.wait(10.0);
            const auto steps = player.steps();
            REQUIRE(steps.size() >= 2);
            CHECK(steps[0].step.judgement.tolerance_cents == doctest::Approx(8.0 * factor));
            CHECK(steps[0].step.judgement.good() == good);
            CHECK(steps[1].step.judgement.tolerance_cents == 30.0);
        }
    }

    TEST_CASE("a constant lag behind clicks that only drivers tell of is said once, condemns no "
              "note, and is learnt from the "
              "player's answer") {
        for (const double lag_s : {0.1, 0.2, 0.3}) {
            for (const bool answered : {false, true}) {
                CAPTURE(lag_s);
                CAPTURE(answered);
                drill::Exercise exercise =
                    tune({"C4", "E4", "G4", "C5", "G4", "E4", "C4", "E4"}, 4);
                exercise.quarters_per_minute = 120.0;
                test::Player player({block(exercise)});
                int beat = 0;
                for (; beat < 4; ++beat) {
                    player.running.beat(0.5 * beat);
                }
                player.wait(0.5 * beat + lag_s - 0.05); // a note begins 50 ms after its turn
                std::size_t told = 0;
                for (int pass = 0; pass < 4; ++pass) {
                    for (const drill::Step& step : exercise.steps) {
                        player.running.beat(0.5 * beat++);
                        player.play(horn::ascii_name(*step.written).c_str());
                        told = std::max(told, player.state().remarks.size());
                    }
                    if (pass == 1) {
                        CHECK(player.state().headphones_asked);
                        if (answered) {
                            player.running.press(Key::headphones);
                            CHECK_FALSE(player.state().headphones_asked);
                        }
                    }
                }
                player.wait(3.0);
                CHECK(told == 1);
                CHECK(player.state().remarks.size() == 1);
                const auto steps = player.steps();
                CHECK(steps.size() == 32);
                for (const auto& step : steps) {
                    CHECK(step.step.judgement.good());
                }
            }
        }
    }

    TEST_CASE("every block is judged with the player's own hand on its crook") {
        std::vector<int> asked_for;
        run::Options options;
        options.hand = [&](const horn::Tuning& tuning) {
            asked_for.push_back(tuning.crook.transposition);
            auto hand = horn::hand_response(tuning);
            for (double& cents : hand.open_cents) {
                cents = 12.0;
            }
            return std::optional(hand);
        };
        const Run running =
            *Run::make({block(tune({"C4"}), 60.0, "Eb"), block(tune({"C4"}))}, {}, options);
        for (const char* const crook : {"Eb", "F"}) {
            CHECK(std::count(asked_for.begin(),
                             asked_for.end(),
                             horn::parse_crook(crook)->transposition) > 0);
        }
    }

    TEST_CASE("feedback stays at least one note behind") {
        test::Player player({block(tune({"C4", "E4", "G4", "C5", "G4"}, 2))});
        player.play("C4", 30.0);
        CHECK_FALSE(player.state().feedback);
        player.play("E4");
        REQUIRE(player.state().feedback);
        CHECK(player.state().feedback->judgement.step == 0);
        CHECK(player.state().feedback->text == "C4: 30 cents sharp");
        run::Options later;
        later.feedback_behind = 3;
        test::Player patient({block(tune({"C4", "E4", "G4", "C5", "G4"}, 2))}, later);
        patient.play_all({"C4", "E4", "G4"});
        CHECK_FALSE(patient.state().feedback);
        patient.play("C5");
        REQUIRE(patient.state().feedback);
        CHECK(patient.state().feedback->judgement.step == 0);
        patient.wait(2.5); // who stops may read
        CHECK(patient.state().feedback->judgement.step == 3);
    }

    TEST_CASE("nothing is learnt while it is in doubt which horn sounds, and what was learnt is "
              "taken back") {
        test::Player player({block(tune({"C4", "E4", "G4", "C5", "G4", "E4"}))});
        player.play("C4");
        player.play("F4");
        player.play("A4");
        CHECK_FALSE(player.running.skills().empty());
        player.horn.verdict = hand::HornVerdict::other;
        player.horn.best.f1_hz = 41.2;
        player.play("B4");
        player.play("F4");
        player.play("D4");
        player.wait(4.0);
        for (const auto& [item, skill] : player.running.skills()) {
            CHECK(skill::figures_of(skill)[0] == 0.0); // as if never tried
        }
        CHECK(player.state().prompt.find("fit a horn in E better") != std::string::npos);
        REQUIRE(player.state().feedback);
        CHECK(player.state().feedback->text.find("in doubt") != std::string::npos);
    }

    TEST_CASE("who plays what is asked is not doubted, however the notes look") {
        test::Player player({block(tune({"C4", "E4", "G4", "C5", "G4", "E4"}))});
        player.horn.verdict = hand::HornVerdict::doubtful;
        player.play_all({"C4", "E4", "G4", "C5", "G4", "E4"});
        player.wait(4.0);
        CHECK_FALSE(player.running.skills().empty());
        CHECK(player.state().prompt.find("crook and slide") == std::string::npos);
    }

    TEST_CASE("judgements change the skills they are about, and go to the log with them") {
        run::Options options;
        options.started_s = 1772000000;
        test::Player player({block(tune({"C4", "F4"}))}, options);
        player.play("C4");
        player.play("F4", -40.0);
        player.wait(1.2);
        const auto steps = player.steps();
        REQUIRE(steps.size() == 2);
        REQUIRE(steps[1].skills.size() == 2); // the note and the way to it
        CHECK(steps[1].skills[0].written == 65);
        CHECK(steps[1].skills[0].values[0] == doctest::Approx(1.0));
        CHECK(steps[1].skills[0].values[1] == doctest::Approx(0.0));
        CHECK(steps[1].step.asked_hand == horn::chart_entry(*horn::parse_note("F4"))->usual().hand);
        CHECK(player.running.skills().size() == 3);
    }
}
