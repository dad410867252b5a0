#include "pitch/phase_fit.h"

#include <cmath>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::pitch;

namespace {

constexpr double kOmega = 2.0 * std::numbers::pi / 100.0; // a period of 100 samples
constexpr int kHarmonics = 10;
constexpr int kStep = 10;

double peak_of(int harmonic) {
    return 1.0 / harmonic;
}

/// 2,000 samples of ten harmonics; `chirp` is the change of the fundamental, rad per sample squared, about the end.
PhasorBank bank_of(double omega, double chirp) {
    std::vector<float> x(2000);
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double t = static_cast<double>(i) - 2000.0;
        const double phase = omega * t + 0.5 * chirp * t * t;
        double sum = 0.0;
        for (int l = 1; l <= kHarmonics; ++l) {
            sum += peak_of(l) * std::cos(l * phase + 0.7 * l * l);
        }
        x[i] = static_cast<float>(sum);
    }
    PhasorBank bank;
    bank.start(kOmega, kHarmonics, kStep, x);
    return bank;
}

PhaseFit fitted(const PhasorBank& bank, double periods, double omega, double chirp_prior_sd) {
    PhaseFitRequest request;
    request.oldest = static_cast<int>(std::lround(periods * 100.0 / kStep));
    request.omega = omega;
    request.chirp_prior_sd = chirp_prior_sd;
    request.passes = 4;
    std::array<float, kBankHarmonics> noise{};
    noise.fill(1e-8F);
    return fit_phase(bank, request, noise);
}

double cents(double omega, double truth) {
    return 1200.0 * std::log2(omega / truth);
}

} // namespace

TEST_SUITE("pitch/phase_fit") {
    TEST_CASE("over a few periods pitch and every amplitude are those that were made") {
        for (const double off_cents : {-20.0, 0.0, 15.0}) {
            const double truth = kOmega * std::exp2(off_cents / 1200.0);
            const PhasorBank bank = bank_of(truth, 0.0);
            for (const double periods : {2.5, 3.0, 5.0}) {
                CAPTURE(off_cents);
                CAPTURE(periods);
                const PhaseFit fit = fitted(bank, periods, kOmega, 0.0);
                REQUIRE(fit.ok);
                CHECK(std::abs(cents(fit.omega, truth)) < 0.1);
                for (int l = 1; l <= kHarmonics; ++l) {
                    CAPTURE(l);
                    const auto amplitude =
                        static_cast<double>(fit.amplitude[static_cast<std::size_t>(l - 1)]);
                    CHECK(amplitude == doctest::Approx(peak_of(l)).epsilon(0.01));
                }
            }
        }
    }

    TEST_CASE("a glide is found with its slope, at the middle of the window") {
        // 100 cents over 1,000 samples.
        const double chirp = kOmega * std::numbers::ln2 / 12.0 / 1000.0;
        const PhasorBank bank = bank_of(kOmega, chirp);
        const PhaseFit fit = fitted(bank, 5.0, kOmega, 10.0 * chirp);
        REQUIRE(fit.ok);
        CHECK(fit.chirp == doctest::Approx(chirp).epsilon(0.01));
        CHECK(std::abs(cents(fit.omega, kOmega - chirp * (fit.middle + 0.5))) < 0.1);
    }
}
