#include "pitch/motion.h"

#include <cmath>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::pitch;

namespace {

std::vector<PitchPoint> curve(
    double seconds, double drift_cents, double rate_hz, double extent_cents, double jitter_cents) {
    std::vector<PitchPoint> out;
    unsigned state = 12345;
    for (double t = 0.0; t < seconds; t += 256.0 / 48000.0) {
        state = state * 1664525U + 1013904223U;
        const double noise = (static_cast<double>(state >> 8) / 16777216.0 - 0.5) * std::sqrt(12.0);
        out.push_back({2.0 + t,
                       -7.0 + drift_cents * (t / seconds - 0.5) +
                           extent_cents * std::sin(2.0 * std::numbers::pi * rate_hz * t + 0.4) +
                           jitter_cents * noise,
                       0.0});
    }
    return out;
}

} // namespace

TEST_SUITE("pitch/motion") {
    TEST_CASE("drift, vibrato and wobble of one note are told apart") {
        const PitchMotion m = pitch_motion(curve(1.2, 14.0, 5.6, 18.0, 1.5));
        REQUIRE(m.known);
        REQUIRE(m.vibrato);
        CHECK(m.vibrato_hz == doctest::Approx(5.6).epsilon(0.02));
        CHECK(m.vibrato_cents == doctest::Approx(18.0).epsilon(0.04));
        CHECK(m.drift_cents == doctest::Approx(14.0).epsilon(0.1));
        CHECK(m.mean_cents == doctest::Approx(-7.0).epsilon(0.05));
        CHECK(m.wobble_cents == doctest::Approx(1.5).epsilon(0.15));
    }

    TEST_CASE("a drifting note without waves has no vibrato") {
        const PitchMotion m = pitch_motion(curve(0.8, -25.0, 0.0, 0.0, 2.0));
        REQUIRE(m.known);
        CHECK_FALSE(m.vibrato);
        CHECK(m.drift_cents == doctest::Approx(-25.0).epsilon(0.06));
        CHECK(m.wobble_cents == doctest::Approx(2.0).epsilon(0.15));
    }

    TEST_CASE("scatter that the readings' deviations explain is no wobble") {
        auto points = curve(0.8, 0.0, 0.0, 0.0, 2.0);
        for (PitchPoint& p : points)
            p.sd_cents = 2.0;
        CHECK(pitch_motion(points).wobble_cents < 0.7);
    }

    TEST_CASE("a note too short to tell says so") {
        CHECK_FALSE(pitch_motion(curve(0.2, 5.0, 5.0, 10.0, 0.0)).known);
        CHECK_FALSE(pitch_motion({}).known);
    }
}
