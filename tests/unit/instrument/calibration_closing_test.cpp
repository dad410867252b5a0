#include "instrument/calibration/calibration_closing.h"

#include "horn/acoustics/natural_horn.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::instrument;

namespace {

constexpr double kF1_hz = 43.654;
constexpr double kHop_s = 256.0 / 48000.0;

struct Performance {
    double held_open_s = 0.8;
    double closing_s = 3.0;
    double held_stopped_s = 0.8;
    double wander_cents = 5.0;
    double octave_errors = 0.02; ///< share of readings an octave off
    bool slips = false;          ///< half-way the tone drops to the landing at once
};

/// Fall of partial 8 on the modelled F horn at 101 closures, cents.
const std::vector<double>& modelled_fall() {
    static const std::vector<double> fall = [] {
        std::vector<double> closures;
        for (int i = 0; i <= 100; ++i) {
            closures.push_back(i / 100.0);
        }
        const double f1[] = {kF1_hz};
        const auto tables = bellhand::horn::acoustics::hand_tables(
            {}, f1, closures, bellhand::horn::acoustics::keefe_air(25));
        std::vector<double> out;
        for (const auto& one : tables->front().fall_cents) {
            out.push_back(one[7]);
        }
        return out;
    }();
    return fall;
}

std::vector<ClosingSample> close_slowly(const Performance& how, unsigned seed) {
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    const double memory = std::exp(-kHop_s / 0.030);
    double wander = 0.0;
    std::vector<ClosingSample> samples;
    const double end_s = how.held_open_s + how.closing_s + how.held_stopped_s;
    for (double t = 0.0; t < end_s; t += kHop_s) {
        double closure = std::clamp((t - how.held_open_s) / how.closing_s, 0.0, 1.0);
        if (how.slips && closure > 0.35) {
            closure = 1.0;
        }
        wander =
            memory * wander + how.wander_cents * std::sqrt(1 - memory * memory) * normal(random);
        const double cents =
            modelled_fall()[static_cast<std::size_t>(std::lround(closure * 100))] + wander;
        double hz = 8 * kF1_hz * std::exp2(cents / 1200);
        if (unit(random) < how.octave_errors) {
            hz *= unit(random) < 0.5 ? 0.5 : 2.0;
        }
        samples.push_back({t, hz});
    }
    return samples;
}

} // namespace

TEST_SUITE("instrument/calibration_closing") {
    TEST_CASE("fall and landing are found to 2 cents rms through wander and octave errors") {
        const double fall = modelled_fall().back();
        // 0.8 s held with a wander of 5 cents and 30 ms of memory: about 1.7 cents for the median at either end.
        double worst = 0.0;
        double squares = 0.0;
        for (unsigned seed = 1; seed <= 20; ++seed) {
            CAPTURE(seed);
            const auto found = measure_closing(close_slowly({}, seed), {8, kF1_hz, 0.0});
            REQUIRE(found.has_value());
            worst = std::max(worst, std::abs(found->fall_cents - fall));
            squares += std::pow(found->fall_cents - fall, 2) / 20.0;
            const double rise = fall + 1200 * std::log2(8.0 / 7.0);
            CHECK(std::abs(found->rise_cents - rise) < 4.5);
            CHECK(found->held_open);
            CHECK(found->held_stopped);
            CHECK(found->slips.empty());
            CHECK(found->used_share > 0.95);
            // Of the measurement less than 4; the aim of this one landing comes on top and never falls away.
            CHECK(found->fall_sd_cents > kUsualAim_cents);
            CHECK(found->fall_sd_cents < std::hypot(4.0, kUsualAim_cents));
        }
        MESSAGE("error of the fall in 20 closings ",
                std::sqrt(squares),
                " cents rms, worst ",
                worst,
                ", fall ",
                fall);
        CHECK(worst < 6.0);
        CHECK(std::sqrt(squares) < 2.8);
    }

    TEST_CASE("the curve follows the fall and never rises") {
        const auto found = measure_closing(close_slowly({}, 5), {8, kF1_hz, 0.0});
        REQUIRE(found.has_value());
        REQUIRE(found->curve.size() == 21);
        CHECK(found->curve.front().cents == 0.0);
        CHECK(found->curve.back().cents == doctest::Approx(found->fall_cents));
        for (std::size_t i = 1; i < found->curve.size(); ++i) {
            CHECK(found->curve[i].cents <= found->curve[i - 1].cents);
            // Where the pitch is, the time says how closed the hand was.
            const double closure =
                (found->starts_s + found->curve[i].share * (found->lands_s - found->starts_s) -
                 0.8) /
                3.0;
            const double truth = modelled_fall()[static_cast<std::size_t>(
                std::lround(100 * std::clamp(closure, 0.0, 1.0)))];
            CHECK(std::abs(found->curve[i].cents - truth) < 10.0);
        }
    }

    TEST_CASE("a tone that slips is reported with its moment") {
        Performance how;
        how.slips = true;
        const auto found = measure_closing(close_slowly(how, 2), {8, kF1_hz, 0.0});
        REQUIRE(found.has_value());
        REQUIRE(found->slips.size() == 1);
        CHECK(std::abs(found->slips[0].time_s - (0.8 + 0.35 * 3.0)) < 0.1);
        CHECK(found->slips[0].cents < -30.0);
    }

    TEST_CASE("a note that was not held at either end says so") {
        Performance how;
        how.held_open_s = 0.0;
        how.held_stopped_s = 0.0;
        const auto found = measure_closing(close_slowly(how, 3), {8, kF1_hz, 0.0});
        REQUIRE(found.has_value());
        CHECK_FALSE((found->held_open && found->held_stopped));
    }

    TEST_CASE("the landing counts from the measured lower partial, not from the nominal one") {
        const auto samples = close_slowly({}, 4);
        const auto nominal = measure_closing(samples, {8, kF1_hz, 0.0});
        const auto measured = measure_closing(samples, {8, kF1_hz, -12.0});
        REQUIRE(nominal.has_value());
        REQUIRE(measured.has_value());
        CHECK(measured->rise_cents - nominal->rise_cents == doctest::Approx(12.0));
    }

    TEST_CASE("what is no closing is said in one sentence") {
        const auto says = [](const std::vector<ClosingSample>& samples,
                             const ClosingQuestion& question,
                             const char* part) {
            const auto found = measure_closing(samples, question);
            REQUIRE_FALSE(found.has_value());
            CAPTURE(found.error().message);
            CHECK(found.error().message.find(part) != std::string::npos);
        };
        const auto good = close_slowly({}, 1);
        says(good, {1, kF1_hz, 0.0}, "partials 2 to 24");
        says(good, {8, 0.0, 0.0}, "needs f1");
        says({}, {8, kF1_hz, 0.0}, "too little");
        std::vector<ClosingSample> elsewhere = good;
        for (std::size_t i = 0; i < elsewhere.size(); ++i) {
            elsewhere[i].f0_hz *= i % 3 == 0 ? 1.0 : 1.5;
        }
        says(elsewhere, {8, kF1_hz, 0.0}, "another partial");
        std::vector<ClosingSample> level = good;
        for (ClosingSample& sample : level) {
            sample.f0_hz = 8 * kF1_hz;
        }
        says(level, {8, kF1_hz, 0.0}, "did not fall");
    }
}
