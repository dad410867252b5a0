#include "horn/acoustics/bore.h"

#include "synthetic_horn.h"

#include <cmath>
#include <initializer_list>
#include <limits>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand::horn::acoustics;

TEST_SUITE("horn_acoustics/bore") {
    TEST_CASE("bad bores are named in one sentence") {
        struct Row {
            Bore bore;
            const char* says;
        };
        const double nan = std::numeric_limits<double>::quiet_NaN();
        const Row rows[] = {
            {{}, "no segments"},
            {{{{1.0, 0.006, 0.006}, {-0.1, 0.006, 0.006}}}, "length of segment 2"},
            {{{{nan, 0.006, 0.006}}}, "length of segment 1"},
            {{{{0.5, 6.0, 6.0}}}, "not millimetres"},
            {{{{0.5, 0.006, 0.0}}}, "radius of segment 1"},
            {{{{0.5, 1e-5, 0.006}}}, "less than a fifth"},
            {{{{500.0, 0.006, 0.006}}}, "500 m long"},
            {{std::vector<Segment>(5001, Segment{0.001, 0.006, 0.006})}, "5001 segments"},
        };
        for (const Row& row : rows) {
            const auto result = checked_bore(row.bore);
            REQUIRE_FALSE(result.has_value());
            CAPTURE(result.error().message);
            CHECK(result.error().kind == bellhand::ErrorKind::usage);
            CHECK(result.error().message.find(row.says) != std::string::npos);
        }
        CHECK(checked_bore(bellhand::testing::synthetic_horn()).has_value());
    }

    TEST_CASE("a flare runs from throat to rim in one piece") {
        const auto bell = bell_flare(0.6, 0.140, 0.030786, 0.8, 120);
        REQUIRE(bell.size() == 120);
        CHECK(bell.back().radius_out_m == doctest::Approx(0.140));
        CHECK(bell.front().radius_in_m == doctest::Approx(0.0125).epsilon(0.01));
        for (std::size_t i = 1; i < bell.size(); ++i) {
            CHECK(bell[i].radius_in_m == doctest::Approx(bell[i - 1].radius_out_m));
            CHECK(bell[i].radius_out_m > bell[i].radius_in_m);
        }
        // 10 cm inside the rim the bell is 44 mm wide in radius, 20 cm inside 27 mm.
        CHECK(bell[99].radius_out_m == doctest::Approx(0.044).epsilon(0.01));
    }

    TEST_CASE("a hand narrows the window and nothing else") {
        const Bore horn = bellhand::testing::synthetic_horn();
        const HandInBell hand{0.012, 0.10, 0.08};
        const Bore stopped = with_hand(horn, hand);
        CHECK(length_m(stopped) == doctest::Approx(length_m(horn)).epsilon(1e-12));
        double from_rim_m = length_m(stopped);
        double least_m = 1.0;
        for (const Segment& segment : stopped.segments) {
            if (from_rim_m < 0.15 && from_rim_m > 0.05) {
                least_m = std::min(least_m, segment.radius_in_m);
            }
            from_rim_m -= segment.length_m;
        }
        CHECK(least_m == doctest::Approx(0.012));
        CHECK(stopped.segments.back().radius_out_m == doctest::Approx(0.140));
    }

    TEST_CASE("a gap wider than the bell changes nothing") {
        const Bore horn = bellhand::testing::synthetic_horn();
        const Bore same = with_hand(horn, {0.2, 0.10, 0.08});
        REQUIRE(same.segments.size() == horn.segments.size());
        for (std::size_t i = 0; i < same.segments.size(); ++i) {
            CHECK(same.segments[i].radius_in_m == doctest::Approx(horn.segments[i].radius_in_m));
        }
    }

    TEST_CASE("long segments under the hand are cut, so one coarse cone will do as a bell") {
        const Bore cone{{{1.0, 0.006, 0.006}, {0.5, 0.006, 0.1}}};
        const Bore stopped = with_hand(cone, {0.010, 0.10, 0.08});
        CHECK(stopped.segments.size() > 80);
        CHECK(stopped.segments.front().length_m == doctest::Approx(1.0));
    }
}
