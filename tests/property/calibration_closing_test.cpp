#include "instrument/calibration/calibration_closing.h"

#include "calibration_player.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::instrument;
using namespace bellhand::testing;
namespace acoustics = bellhand::horn::acoustics;

namespace {

constexpr std::uint64_t kSeed = 4711;
constexpr double kHop_s = 256.0 / 48000.0;

/// Resonance n of the horn, in Hz, while the hand goes from open to full stop in 60 even steps of closure.
std::vector<double> closing_of(const acoustics::HornShape& shape, double crook_m, std::size_t n) {
    std::vector<double> hz;
    for (int i = 0; i <= 60; ++i) {
        const auto found = acoustics::horn_resonances(shape,
                                                      crook_m,
                                                      acoustics::hand_at(i / 60.0),
                                                      acoustics::keefe_air(22),
                                                      static_cast<int>(n));
        hz.push_back(found.at(n - 1).f_hz);
    }
    return hz;
}

} // namespace

TEST_SUITE("property/calibration_closing") {
    TEST_CASE(
        "random horns, crooks, partials and tempos: the fall to 3 cents rms, no slip invented") {
        std::mt19937_64 random(kSeed);
        std::normal_distribution<double> normal;
        std::uniform_real_distribution<double> unit(0.0, 1.0);
        double squares = 0.0;
        double worst = 0.0;
        int slips = 0;
        constexpr int kClosings = 24;
        for (int run = 0; run < kClosings; ++run) {
            const acoustics::HornShape shape = random_shape(random);
            const double crook_m = 0.5 + 2.5 * unit(random);
            const auto n = static_cast<std::size_t>(4 + run % 9);
            const std::vector<double> truth = closing_of(shape, crook_m, n);
            const double f1_hz = truth.front() / static_cast<double>(n);
            const double open_s = 0.8 + 0.6 * unit(random);
            const double closing_s = 2.5 + 3.0 * unit(random);
            const double stopped_s = 0.8 + 0.6 * unit(random);
            const double memory = std::exp(-kHop_s / 0.030);
            double wander = 0.0;
            std::vector<ClosingSample> samples;
            for (double t = 0.0; t < open_s + closing_s + stopped_s; t += kHop_s) {
                // The hand starts and stops softly.
                const double part = std::clamp((t - open_s) / closing_s, 0.0, 1.0);
                const double closure = part * part * (3.0 - 2.0 * part);
                wander = memory * wander + 5.0 * std::sqrt(1 - memory * memory) * normal(random);
                const double at = 60.0 * closure;
                const auto i = std::min<std::size_t>(59, static_cast<std::size_t>(at));
                const double hz =
                    truth[i] + (at - static_cast<double>(i)) * (truth[i + 1] - truth[i]);
                const double octave = unit(random) < 0.02 ? 2.0 : 1.0;
                samples.push_back({t, hz * octave * std::exp2(wander / 1200)});
            }
            const auto found = measure_closing(samples, {static_cast<int>(n), f1_hz, 0.0});
            CAPTURE(run);
            CAPTURE(n);
            REQUIRE(found.has_value());
            const double fall = 1200 * std::log2(truth.back() / truth.front());
            const double off = found->fall_cents - fall;
            squares += off * off / kClosings;
            worst = std::max(worst, std::abs(off));
            slips += static_cast<int>(found->slips.size());
            CHECK(std::abs(off) < 10.0);
            CHECK(found->starts_s > open_s - 0.15);
            CHECK(found->lands_s < open_s + closing_s + 0.15);
        }
        MESSAGE("seed ",
                kSeed,
                ": fall ",
                std::sqrt(squares),
                " cents rms, worst ",
                worst,
                ", slips invented ",
                slips);
        CHECK(std::sqrt(squares) < 3.0);
        CHECK(slips == 0);
    }
}
