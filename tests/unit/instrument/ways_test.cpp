#include "horn/tuning.h"
#include "instrument/lengths.h"
#include "instrument/planner/candidates.h"
#include "support/planner_reference.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <set>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::instrument;
using test::piece;

namespace {
constexpr AirInHorn kAir = test::kPlannerAir;
} // namespace

TEST_SUITE("instrument/ways") {
    TEST_CASE("random horns: every way is found once, none is invented, the best come first") {
        std::mt19937 random(11);
        std::uniform_int_distribution<int> key(2, 15);
        int in_tune = 0;
        for (int trial = 0; trial < 60; ++trial) {
            CAPTURE(trial);
            HornLengths horn = test::random_horn(random, 3, 4, 3);
            const Target target{
                horn::all_crooks()[static_cast<std::size_t>(key(random))], 430.0, kAir};
            BuildRequest request{target, 5.0, 4, std::nullopt, 100000};
            const BuildAnswer answer = ways_to_build(horn, request);
            // Equal pieces are counted once: compare sets of (crook, sorted lengths).
            std::set<std::pair<int, std::vector<double>>> expected;
            const auto signature = [&](const Stack& stack) {
                std::vector<double> lengths;
                for (std::size_t i = 0; i < horn.between.size(); ++i) {
                    if (((stack.between >> i) & 1) != 0) {
                        lengths.push_back(horn.between[i].acoustic_m);
                    }
                }
                std::sort(lengths.begin(), lengths.end());
                return std::pair(stack.crook, lengths);
            };
            for (const Stack& stack : test::all_in_tune(horn, target, 5.0, 4)) {
                expected.insert(signature(stack));
            }
            if (expected.empty()) {
                CHECK_FALSE(answer.in_tune);
                continue;
            }
            ++in_tune;
            CHECK(answer.in_tune);
            CHECK(answer.found == expected.size());
            std::set<std::pair<int, std::vector<double>>> found;
            long last_rank = -1;
            for (const Way& way : answer.ways) {
                found.insert(signature(way.stack));
                CHECK(std::fabs(way.slide.left_cents - test::cents_left(horn, way.stack, target)) <
                      1e-6);
                // A shorter stack before the last cent.
                const long rank = std::lround(std::fabs(way.slide.left_cents)) + 1000L * way.joints;
                CHECK(rank >= last_rank);
                last_rank = rank;
            }
            CHECK(found == expected);
        }
        CHECK(in_tune > 20);
    }

    TEST_CASE(
        "the slide is set so that the key is exact, and what is left is told when it cannot") {
        std::mt19937 random(3);
        const HornLengths horn = test::random_horn(random, 1, 0, 0);
        const double bare_m = horn.body_m + 0.5;
        const SlideSetting reachable = set_slide(horn, bare_m, bare_m + 0.02);
        CHECK(reachable.left_cents == 0.0);
        CHECK(2.0 * reachable.pull_m / horn.tube_factor == doctest::Approx(0.02));
        const SlideSetting too_long = set_slide(horn, bare_m, bare_m - 0.02);
        CHECK(too_long.pull_m == 0.0);
        CHECK(too_long.left_cents == doctest::Approx(1200.0 * std::log2((bare_m - 0.02) / bare_m)));
        CHECK(too_long.left_cents < 0.0); // a tube too long sounds low
        CHECK(set_slide(horn, bare_m, bare_m + 1.0).left_cents > 0.0);
    }

    TEST_CASE("when nothing is in tune the nearest ways are told") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.crooks = {piece(PieceKind::terminal_crook, "G", 1.0, 0.1),
                       piece(PieceKind::terminal_crook, "D", 2.2, 0.1)};
        const BuildAnswer answer =
            ways_to_build(horn, {{*horn::parse_crook("F"), 440.0, kAir}, 5.0, 4, std::nullopt, 5});
        CHECK_FALSE(answer.in_tune);
        CHECK(answer.found == 0);
        REQUIRE_FALSE(answer.ways.empty());
        CHECK(answer.ways[0].stack.crook == 0); // 3.5 m is 205 cents from 3.94 m, 4.7 m 305
        CHECK(answer.ways.size() == 2);         // each once
        // Only what lies about as near: a crook that is two octaves off is no answer.
        horn.crooks.push_back(piece(PieceKind::terminal_crook, "far too long", 12.0, 0.1));
        const BuildAnswer nearest =
            ways_to_build(horn, {{*horn::parse_crook("F"), 440.0, kAir}, 5.0, 4, std::nullopt, 5});
        CHECK(nearest.ways.size() == answer.ways.size());
    }

    TEST_CASE("coming from a stack, the pieces that are on the horn are kept") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.couplers = 2;
        horn.crooks = {piece(PieceKind::master_crook, "master", 0.5, 0.1)};
        horn.between = {piece(PieceKind::coupler, "first", 0.47, 0.05),
                        piece(PieceKind::coupler, "second", 0.47, 0.05)};
        const double total_m = 2.5 + 0.5 + 0.47;
        const double a4_hz =
            440.0 * (acoustic_length_m(horn::fundamental_hz({*horn::parse_crook("G"), 440.0, {}}),
                                       speed_of_sound_m_s(kAir)) /
                     total_m);
        const Stack from{0, 0b10};
        const BuildAnswer answer =
            ways_to_build(horn, {{*horn::parse_crook("G"), a4_hz, kAir}, 5.0, 4, from, 5});
        REQUIRE(answer.found == 1);
        CHECK(answer.ways[0].stack == from);
        CHECK(answer.ways[0].change.seconds == 0.0);
        CHECK(answer.ways[0].change.off.empty());
    }

    TEST_CASE("what is swapped is named, and the crook that must be lifted") {
        HornLengths horn;
        horn.couplers = 2;
        horn.crooks = {piece(PieceKind::master_crook, "A", 0.5, 0.1),
                       piece(PieceKind::master_crook, "B", 0.6, 0.1)};
        horn.between = {piece(PieceKind::coupler, "tone", 0.47, 0.05),
                        piece(PieceKind::coupler, "semitone", 0.23, 0.05)};
        const Change inner = change_between(horn, {0, 0b01}, {0, 0b10});
        CHECK(inner.crook_lifted);
        CHECK(inner.off == std::vector<std::string>{"tone"});
        CHECK(inner.on == std::vector<std::string>{"semitone"});
        CHECK(inner.seconds == doctest::Approx(4.0 + 2.0 + 3.0)); // the estimate's defaults
        const Change crook = change_between(horn, {0, 0b01}, {1, 0b01});
        CHECK_FALSE(crook.crook_lifted);
        CHECK(crook.seconds == doctest::Approx(4.0)); // 3 to 5 s, common practice
        CHECK(change_between(horn, {0, 0b01}, {0, 0b01}).seconds == 0.0);
    }
}
