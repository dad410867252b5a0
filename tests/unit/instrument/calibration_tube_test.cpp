#include "instrument/calibration/calibration_tube.h"

#include "property/calibration_player.h"

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::instrument;
using namespace bellhand::horn::acoustics;

namespace {

double cents(double hz, double reference_hz) {
    return 1200 * std::log2(hz / reference_hz);
}

} // namespace

TEST_SUITE("instrument/calibration_tube") {
    TEST_CASE("two crooks predict the third on horns of other bores") {
        // Horns drawn at random around the modelled one, also 5 % longer or shorter in the body; G, E-flat and C basso
        // of fixed tube, each in its own temperature, f1 known to half a cent.
        constexpr unsigned kSeed = 7;
        std::mt19937_64 random(kSeed);
        std::uniform_real_distribution<double> unit(-1.0, 1.0);
        std::normal_distribution<double> normal;
        double inside = 0.0;
        double outside = 0.0;
        double worst = 0.0;
        double in_sd = 0.0;
        constexpr int kHorns = 25;
        for (int i = 0; i < kHorns; ++i) {
            HornShape shape = bellhand::testing::random_shape(random);
            shape.body_length_m *= 1.0 + 0.05 * unit(random);
            std::vector<MeasuredCrook> crooks;
            for (const double length_m : {1.01, 1.91, 2.74}) {
                const double celsius = 22.0 + 4.0 * unit(random);
                const double f1_hz = model_f1_hz(shape, length_m, keefe_air(celsius)) *
                                     std::exp2(0.5 * normal(random) / 1200);
                crooks.push_back({"crook", length_m, f1_hz, 0.5, celsius});
            }
            const auto left_out = left_out_residuals(crooks);
            REQUIRE(left_out.has_value());
            inside += std::pow((*left_out)[1], 2) / kHorns;
            outside += std::pow((*left_out)[2], 2) / kHorns;
            worst = std::max(worst, std::abs((*left_out)[1]));
            const auto fit = fit_tube(std::vector{crooks[0], crooks[2]});
            REQUIRE(fit.has_value());
            const auto middle = predict_crook(*fit, 1.91, crooks[1].temperature_c);
            REQUIRE(middle.has_value());
            CHECK(std::abs(cents(crooks[1].f1_hz, middle->f1_hz) - (*left_out)[1]) < 1e-6);
            in_sd += std::pow((*left_out)[1] / middle->sd_cents, 2) / kHorns;
        }
        MESSAGE("seed ",
                kSeed,
                ": third crook between two measured ones ",
                std::sqrt(inside),
                " cents rms, worst ",
                worst,
                "; beyond them ",
                std::sqrt(outside),
                " cents rms");
        CHECK(std::sqrt(inside) < 3.5);
        CHECK(std::sqrt(outside) < 6.0);
        CHECK(std::sqrt(in_sd) < 1.3);
    }

    TEST_CASE("the modelled horn itself is fitted by stretch 1 and shift 0") {
        std::vector<MeasuredCrook> crooks;
        for (const double length_m : {0.5, 1.4, 2.7}) {
            crooks.push_back(
                {"crook", length_m, model_f1_hz({}, length_m, keefe_air(20)), 0.1, 20});
        }
        const auto fit = fit_tube(crooks);
        REQUIRE(fit.has_value());
        CHECK(fit->stretch == doctest::Approx(1.0).epsilon(1e-4));
        CHECK(std::abs(fit->shift_m) < 1e-3);
        CHECK(fit->misfit_cents < 0.1);
    }

    TEST_CASE("one crook is enough to begin with, and the doubt is larger away from it") {
        const double f1_hz = 1.01 * model_f1_hz({}, 1.4, keefe_air(20));
        const auto fit = fit_tube(std::vector<MeasuredCrook>{{"F", 1.4, f1_hz, 0.5, 20}});
        REQUIRE(fit.has_value());
        const auto here = predict_crook(*fit, 1.4, 20);
        const auto there = predict_crook(*fit, 2.7, 20);
        REQUIRE(here.has_value());
        REQUIRE(there.has_value());
        CHECK(std::abs(cents(here->f1_hz, f1_hz)) < 0.5);
        CHECK(there->sd_cents > 2.0 * here->sd_cents);
    }

    TEST_CASE("a warmer horn is predicted higher") {
        const double f1_hz = model_f1_hz({}, 1.4, keefe_air(20));
        const auto fit = fit_tube(std::vector<MeasuredCrook>{{"F", 1.4, f1_hz, 0.5, 20}});
        REQUIRE(fit.has_value());
        CHECK(std::abs(cents(predict_crook(*fit, 1.4, 27)->f1_hz, f1_hz) - 20.5) < 1.5);
    }

    TEST_CASE("mistakes are named") {
        const auto says = [](const auto& result, const char* part) {
            REQUIRE_FALSE(result.has_value());
            CAPTURE(result.error().message);
            CHECK(result.error().message.find(part) != std::string::npos);
        };
        says(fit_tube({}), "no crook was measured");
        says(fit_tube(std::vector<MeasuredCrook>{{"F", -1.0, 43.6, 0.5, 20}}), "crook 'F' needs");
        says(fit_tube(std::vector<MeasuredCrook>{{"F", 1400.0, 43.6, 0.5, 20}}), "not millimetres");
        says(fit_tube(std::vector<MeasuredCrook>{{"F", 1.4, 143.6, 0.5, 20}}),
             "higher than this body");
        const auto fit = fit_tube(
            std::vector<MeasuredCrook>{{"F", 1.4, model_f1_hz({}, 1.4, keefe_air(20)), 0.5, 20}});
        REQUIRE(fit.has_value());
        says(predict_crook(*fit, 0.001, 20), "too short");
    }
}
