#include "hand/balance.h"

#include "support/hand_mover.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using test::HandMover;
using test::Random;

namespace {

constexpr double kHop_s = 256.0 / 48000.0;

} // namespace

TEST_SUITE("hand/balance") {
    TEST_CASE("a quiet long tone: its wobble and drift, and no change of the hand") {
        std::vector<pitch::PitchPoint> points;
        for (double time_s = 0.0; time_s < 4.0; time_s += kHop_s) {
            points.push_back({time_s, -2.0 * time_s + std::sin(9.0 * time_s), 0.3});
        }
        const hand::Balance balance = hand::balance_of(points);
        REQUIRE(balance.known);
        CHECK(balance.moves.empty());
        CHECK(balance.wobble_cents == doctest::Approx(std::sqrt(0.5)).epsilon(0.25));
        CHECK(balance.drift_cents_per_s == doctest::Approx(-2.0).epsilon(0.25));
    }

    TEST_CASE("one slow change: where it was, how far it bent, and the jolt beside it") {
        Random random("one change");
        HandMover player;
        const hand::Balance quiet = hand::balance_of(player.heard(random));
        REQUIRE(quiet.moves.size() == 1);
        CHECK(quiet.moves[0].bend_cents == doctest::Approx(-120.0).epsilon(0.02));
        CHECK(std::fabs(quiet.moves[0].from_s - HandMover::kAt_s) < 0.2);
        CHECK(std::fabs(quiet.moves[0].to_s - HandMover::kAt_s - 2.0) < 0.2);
        CHECK(quiet.moves[0].slow);
        CHECK_FALSE(quiet.moves[0].jolted);
        CHECK(quiet.moves[0].hearable_cents < 6.0);

        player.jolt_cents = 8.0;
        player.jolt_at_s = 2.0;
        player.jolt_s = 0.16;
        const hand::Balance jolted = hand::balance_of(player.heard(random));
        REQUIRE(jolted.moves.size() == 1);
        REQUIRE(jolted.moves[0].jolted);
        CHECK(jolted.moves[0].jolt_cents == doctest::Approx(8.0).epsilon(0.2));
        CHECK(std::fabs(jolted.moves[0].jolt_at_s - 2.0) < 0.05);
        // The hand's own bend is drawn without it.
        for (std::size_t i = 0; i < jolted.heard.size(); ++i) {
            if (std::fabs(jolted.heard[i].time_s - 2.0) < 0.02) {
                CHECK(jolted.heard[i].cents - jolted.hand_cents[i] > 5.0);
            }
        }
    }

    TEST_CASE("a restless player's own wobble is no jolt, where the quiet tone or the still parts "
              "tell of it") {
        Random random("restless");
        HandMover player = HandMover::any(random, 2.0, 3.0);
        for (const double quiet_cents : {0.0, 3.0}) {
            for (const hand::HandMove& move :
                 hand::balance_of(player.heard(random), quiet_cents).moves) {
                CHECK_FALSE(move.jolted);
                CHECK(move.hearable_cents > 6.0);
            }
        }
    }

    TEST_CASE("a trembling lip is no jolt") {
        for (const double tremor_hz : {6.0, 11.0, 18.0}) {
            for (const int player_number : {1, 2, 3}) {
                Random random("tremor " + std::to_string(player_number));
                HandMover player = HandMover::any(random, 2.0, 1.0);
                std::vector<pitch::PitchPoint> points = player.heard(random);
                double phase = 0.0;
                double size = 1.0;
                for (pitch::PitchPoint& point : points) { // its rate and size wander, as a lip's do
                    phase += 6.3 * tremor_hz * kHop_s * (1.0 + 0.5 * random.gauss());
                    size += 0.05 * (1.0 - size) + 0.06 * random.gauss();
                    point.cents += 5.0 * size * std::sin(phase);
                }
                const hand::Balance balance = hand::balance_of(points);
                CAPTURE(tremor_hz);
                CAPTURE(balance.wobble_cents);
                for (const hand::HandMove& move : balance.moves) {
                    CAPTURE(move.jolt_cents);
                    CAPTURE(move.jolt_s);
                    CAPTURE(move.hearable_cents);
                    CHECK_FALSE(move.jolted);
                }
            }
        }
    }

    TEST_CASE("a quick change is found, and nothing is told of it") {
        Random random("quick");
        HandMover player;
        player.moves_s = 0.3;
        player.jolt_cents = 8.0;
        player.jolt_at_s = 1.35;
        const hand::Balance balance = hand::balance_of(player.heard(random));
        REQUIRE(balance.moves.size() == 1);
        CHECK_FALSE(balance.moves[0].slow);
        CHECK_FALSE(balance.moves[0].jolted);
    }

    TEST_CASE("what is too short, or slides all the way, is not known") {
        CHECK_FALSE(hand::balance_of({}).known);
        std::vector<pitch::PitchPoint> points;
        for (double time_s = 0.0; time_s < 1.0; time_s += kHop_s) {
            points.push_back({time_s, 0.0, 0.3});
        }
        CHECK_FALSE(hand::balance_of(points).known);
        points.clear();
        for (double time_s = 0.0; time_s < 3.0; time_s += kHop_s) {
            points.push_back({time_s, 300.0 * time_s, 0.3});
        }
        CHECK_FALSE(hand::balance_of(points).known);
    }
}
