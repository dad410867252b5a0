#include "pitch/harmonic_search.h"

#include <cmath>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::pitch;

namespace {

constexpr double kRate_hz = 12000.0;
constexpr double kUpper_hz = 220.0;

/// Eight harmonics of 220 Hz, and one line at 110 Hz that holds this share of the power.
std::vector<float> with_line_below(double share, std::size_t count) {
    std::vector<float> x(count);
    double power = 0.0;
    for (int l = 1; l <= 8; ++l) {
        power += 0.5 / (l * l);
    }
    const double line = std::sqrt(2.0 * power * share / (1.0 - share));
    for (std::size_t i = 0; i < count; ++i) {
        const double turn = 2.0 * std::numbers::pi * kUpper_hz * static_cast<double>(i) / kRate_hz;
        double sum = line * std::cos(0.5 * turn + 0.3);
        for (int l = 1; l <= 8; ++l) {
            sum += std::cos(l * turn + 0.9 * l * l) / l;
        }
        x[i] = static_cast<float>(0.1 * sum);
    }
    return x;
}

/// The largest share of the line below at which the upper pitch is still found.
double still_upper(const PitchPrior& prior) {
    HarmonicSearch search(kRate_hz, 0.1, 40.0, 1500.0);
    double last = 0.0;
    for (double share = 0.0; share < 0.6; share += 0.0025) {
        const auto x = with_line_below(share, static_cast<std::size_t>(search.window()));
        const PitchCandidate found = search.best(x, 0.0, prior);
        if (std::abs(1200.0 * std::log2(found.f0_hz / kUpper_hz)) > 20.0) {
            break;
        }
        last = share;
    }
    return last;
}

PitchPrior expecting(double f0_hz) {
    PitchPrior prior;
    prior.peaks[0] = {f0_hz, 30.0, 1.0};
    prior.count = 1;
    return prior;
}

} // namespace

TEST_SUITE("pitch/harmonic_search") {
    TEST_CASE("where the crook has a note a little less has to speak for it, never more") {
        const double unknown = still_upper({});
        const double expected = still_upper(expecting(kUpper_hz));
        const double elsewhere = still_upper(expecting(0.5 * kUpper_hz));
        CHECK(expected > unknown + 0.01);
        CHECK(expected < unknown + 0.08); // what is clear is not overruled
        CHECK(elsewhere == unknown);
    }
}
