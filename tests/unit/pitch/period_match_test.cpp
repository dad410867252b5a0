#include "pitch/period_match.h"

#include <cmath>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::pitch;

namespace {

// A horn-like wave of `period` samples in which the fundamental is weak.
std::vector<float> wave(double period, std::size_t length) {
    std::vector<float> x(length);
    for (std::size_t n = 0; n < length; ++n) {
        double v = 0.0;
        for (int l = 1; l <= 8; ++l)
            v += (l < 3 ? 0.05 : 1.0 / l) *
                 std::sin(2.0 * std::numbers::pi * l * static_cast<double>(n) / period + l * l);
        x[n] = static_cast<float>(v);
    }
    return x;
}

} // namespace

TEST_SUITE("pitch/period_match") {
    TEST_CASE("a wave matches itself one broken period earlier to 50 dB") {
        const auto x = wave(101.37, 600);
        CHECK(match_period(x, x.size(), 128, 101.37).ratio() < 1e-5);
        CHECK(match_period(x, x.size(), 128, 107.4).ratio() > 0.05);
        CHECK(match_period(x, x.size(), 128, 2 * 101.37).ratio() < 1e-5);
    }

    TEST_CASE("one and a half periods are enough to find the period") {
        std::vector<float> scratch(900);
        for (double period : {350.3, 164.7, 91.2, 37.43, 18.21}) {
            const auto x = wave(period, 1200);
            const auto usable = static_cast<std::size_t>(1.6 * period + 84.0);
            const ShortPeriod found = find_short_period(x, usable, 14, 880, 84, 0.0, scratch);
            CAPTURE(period);
            REQUIRE(found.lag > 0.0);
            CHECK(std::abs(1200.0 * std::log2(found.lag / period)) < 10.0);
            CHECK(found.ratio < 0.03);
        }
    }

    TEST_CASE("nothing is found where there is too little sound") {
        std::vector<float> scratch(900);
        const auto x = wave(100.0, 400);
        CHECK(find_short_period(x, 60, 14, 380, 84, 0.0, scratch).lag == 0.0);
    }
}
