#include "run/run.h"

#include "run_player.h"

#include <algorithm>
#include <array>

#include <doctest/doctest.h>

using namespace bellhand;
using run::Key;
using run::Run;
using run::Stage;
using test::block;
using test::tune;

TEST_SUITE("run/run") {
    TEST_CASE(
        "it waits for the first note, ends by itself, rests as long as was played, and moves on") {
        test::Player player(
            {block(tune({"C4", "E4", "G4"})), block(tune({"C5", "G4"}), 60.0, "D")});
        CHECK(player.state().stage == Stage::ready);
        player.wait(30.0);
        CHECK(player.state().stage == Stage::ready);
        player.play_all({"C4", "E4", "G4"});
        CHECK(player.state().stage == Stage::playing);
        player.wait(2.0);
        REQUIRE(player.state().stage == Stage::rest);
        CHECK(player.state().prompt.find("on the D crook") != std::string::npos);
        CHECK(player.state().rest_left_s <= 5.0);
        player.wait(6.0);
        CHECK(player.state().stage == Stage::ready);
        CHECK(player.state().block == 1);
        CHECK(player.running.tuning().crook == *horn::parse_crook("D"));
        player.play_all({"C5", "G4"});
        player.wait(2.0);
        CHECK(player.state().stage == Stage::finished);
        REQUIRE(player.state().summaries.size() == 2);
        CHECK(player.state().summaries[0].judged == 3);
        CHECK(player.state().summaries[0].good == 3);
        CHECK(player.last_block().finished);
        CHECK(player.last_block().number == 1);
    }

    TEST_CASE("rest is as long as what was played of a long block") {
        drill::Exercise exercise = tune({"C4", "E4", "G4", "C5"}, 20);
        test::Player player({block(exercise, 20.0), block(exercise, 20.0)});
        while (player.state().stage != Stage::rest && player.now_s < 60.0) {
            player.play_all({"C4", "E4", "G4", "C5"});
        }
        REQUIRE(player.state().stage == Stage::rest);
        const double played_s = player.state().summaries[0].played_s;
        CHECK(played_s >= 20.0);
        CHECK(played_s <= 24.5);
        const double from_s = player.now_s;
        while (player.state().stage == Stage::rest) {
            player.wait(0.5);
        }
        CHECK(player.now_s - from_s == doctest::Approx(played_s).epsilon(0.15));
    }

    TEST_CASE("what missed is asked again before the block ends") {
        test::Player player({block(tune({"C4", "E4", "G4"}))});
        player.play_all({"C4", "G4", "G4"}); // the next partial in place of E4
        player.wait(1.6);
        CHECK(player.state().stage == Stage::playing);
        CHECK(player.state().where.repeating_missed);
        CHECK(player.state().prompt.find("Once more") != std::string::npos);
        player.play_all({"C4", "E4", "G4"});
        player.wait(2.0);
        CHECK(player.state().stage == Stage::finished);
        const auto steps = player.steps();
        REQUIRE(steps.size() == 6);
        CHECK_FALSE(steps[1].step.judgement.good());
        CHECK(steps[4].step.judgement.good());
        CHECK(steps[4].step.judgement.pass == 1);
    }

    TEST_CASE("nobody has to take up what is asked again") {
        test::Player player({block(tune({"C4", "E4", "G4"})), block(tune({"C4"}))});
        player.play_all({"C4", "G4", "G4"});
        player.wait(25.0);
        CHECK(player.state().block == 0);
        CHECK(player.state().stage == Stage::rest);
        CHECK(player.state().summaries[0].judged == 3);
    }

    TEST_CASE("silence pauses, and its time is not counted as playing") {
        test::Player player({block(tune({"C4", "E4", "G4", "C5", "G4"}))});
        player.play_all({"C4", "E4"});
        player.wait(120.0);
        CHECK(player.state().stage == Stage::playing);
        CHECK(player.state().where.phase == drill::Phase::stopped);
        CHECK(player.state().played_s < 5.0);
        CHECK(player.state().prompt.find("Waiting for you: go on with G4") == 0);
        player.play_all({"G4", "C5", "G4"});
        player.wait(2.0);
        CHECK(player.state().stage == Stage::finished);
        CHECK(player.state().summaries[0].good == 5);
    }

    TEST_CASE("who stops before the very last notes is through, and they count as missed") {
        test::Player player({block(tune({"C4", "E4", "G4", "C5", "G4"})), block(tune({"C4"}))});
        player.play_all({"C4", "E4", "G4", "C5"});
        player.wait(7.0);
        CHECK(player.state().stage == Stage::rest);
        REQUIRE(player.state().summaries.size() == 1);
        CHECK(player.state().summaries[0].judged == 5);
        CHECK(player.state().summaries[0].good == 4);
    }

    TEST_CASE("homework is recorded while it is played, and keep that reaches back") {
        skill::PlannedBlock homework = block(tune({"C4", "E4", "G4"}));
        homework.homework = "set-1";
        test::Player player({homework});
        player.wait(3.0);
        player.play_all({"C4", "E4"});
        player.running.press(Key::keep);
        player.play("G4");
        player.wait(2.0);
        std::vector<run::TakeWish> wishes;
        for (run::TakeWish wish; player.running.next(wish);) {
            wishes.push_back(wish);
        }
        REQUIRE(wishes.size() == 3);
        CHECK(wishes[0].kind == run::TakeWish::Kind::begin);
        CHECK(wishes[0].from_s <= 3.05);
        CHECK(wishes[1].kind == run::TakeWish::Kind::keep);
        CHECK(wishes[1].kept);
        CHECK(wishes[1].to_s == doctest::Approx(4.0));
        CHECK(wishes[2].kind == run::TakeWish::Kind::end);
    }

    TEST_CASE("keys: next breaks off and skips, and what was not reached is held against nobody") {
        test::Player player({block(tune({"C4", "E4", "G4", "C5"})), block(tune({"C4"}))});
        player.play_all({"C4", "E4"});
        player.running.press(Key::next);
        player.collect();
        CHECK(player.state().stage == Stage::rest);
        CHECK_FALSE(player.last_block().finished);
        CHECK(player.state().summaries[0].judged == 2);
        CHECK(player.state().summaries[0].good == 2);
        player.running.press(Key::next);
        CHECK(player.state().stage == Stage::ready);
        CHECK(player.state().block == 1);
    }

    TEST_CASE("keys: repeat begins again, back goes to the block before when pressed early") {
        test::Player player(
            {block(tune({"C4", "E4", "G4", "C5"})), block(tune({"C4", "E4", "G4"}))});
        player.play_all({"C4", "E4"});
        player.running.press(Key::repeat);
        CHECK(player.state().stage == Stage::ready);
        CHECK(player.state().block == 0);
        player.play_all({"C4", "E4", "G4", "C5"});
        player.wait(8.0);
        REQUIRE(player.state().block == 1);
        player.play("C4");
        player.running.press(Key::back);
        CHECK(player.state().block == 0);
        player.play_all({"C4", "E4", "G4", "C5", "C4", "E4", "G4", "C5", "C4", "E4", "G4"});
        player.running.press(Key::back);
        CHECK(player.state().block == 0);
        CHECK(player.state().stage == Stage::ready);
        player.collect();
        // Every go is a block of its own in the log.
        CHECK(player.last_block().number >= 3);
    }

    TEST_CASE("keys: pause listens to nothing and goes on where it was") {
        test::Player player({block(tune({"C4", "E4", "G4"}))});
        player.play("C4");
        player.running.press(Key::pause);
        CHECK(player.state().stage == Stage::paused);
        player.play_all({"D5", "D5"}); // somebody talks with a horn
        player.running.press(Key::pause);
        CHECK(player.state().stage == Stage::playing);
        player.play_all({"E4", "G4"});
        player.wait(2.0);
        CHECK(player.state().stage == Stage::finished);
        CHECK(player.state().summaries[0].judged == 3);
        CHECK(player.state().summaries[0].good == 3);
    }

    TEST_CASE("keys may come at any moment, in any order") {
        std::uint32_t state = 7;
        const auto chance = [&state](std::uint32_t below) {
            state = state * 1664525U + 1013904223U;
            return (state >> 8U) % below;
        };
        for (int session = 0; session < 40; ++session) {
            test::Player player({block(tune({"C4", "E4", "G4"}, 3), 8.0),
                                 block(tune({"G4", "C5"}), 5.0, "D"),
                                 block(tune({"C4"}), 5.0)});
            for (int i = 0; i < 120; ++i) {
                const auto what = chance(12);
                if (what < 5) {
                    player.running.press(static_cast<Key>(what));
                } else if (what < 10) {
                    player.play(std::array{"C4", "E4", "G4", "C5", "D5"}[what - 5]);
                } else {
                    player.wait(0.1 * chance(60));
                }
                CHECK(player.state().block < 3);
                CHECK((player.state().stage == Stage::finished) == (player.state().now == nullptr));
                CHECK_FALSE(player.state().prompt.empty());
            }
            player.running.finish();
            CHECK(player.state().stage == Stage::finished);
            player.collect();
            // A step never comes before its block.
            std::vector<std::uint32_t> begun;
            for (const auto& record : player.records) {
                if (const auto* one = std::get_if<logbook::BlockRecord>(&record)) {
                    begun.push_back(one->number);
                } else {
                    const auto number = std::get<run::StepRecord>(record).block;
                    CHECK(std::find(begun.begin(), begun.end(), number) != begun.end());
                }
            }
        }
    }

    TEST_CASE(
        "metronome and drone sound with the exercise that wants them, and are silent in a rest") {
        drill::Exercise exercise = tune({"C4", "E4"});
        exercise.quarters_per_minute = 72.0;
        exercise.measure = drill::Measure::chord;
        exercise.root = horn::parse_note("C4").value();
        test::Player player({block(exercise), block(tune({"C4"}))});
        CHECK(player.running.sound().beats_per_minute == doctest::Approx(72.0));
        CHECK(player.running.sound().drone_hz[0] ==
              doctest::Approx(horn::target_hz(*horn::parse_note("C4"), player.running.tuning())));
        player.play_all({"C4", "E4"});
        player.wait(2.0);
        REQUIRE(player.state().stage == Stage::rest);
        CHECK(player.running.sound().beats_per_minute == 0.0);
        CHECK(player.running.sound().drone_hz[0] == 0.0);
    }

    TEST_CASE("a plan that cannot be played is refused with a sentence") {
        CHECK_FALSE(Run::make({}, {}, {}));
        const auto odd = Run::make({block(tune({"C9"}))}, {}, {});
        REQUIRE_FALSE(odd);
        CHECK_FALSE(odd.error().message.empty());
    }
}
