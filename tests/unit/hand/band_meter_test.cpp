#include "hand/band_meter.h"

#include "support/signals.h"

#include <cmath>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

/// Noise with nothing above `top_hz`, by a sum of many sines.
std::vector<float> noise_up_to(double top_hz, double rate_hz, double rms, test::Random& random) {
    std::vector<float> out(static_cast<std::size_t>(rate_hz));
    constexpr std::size_t kLines = 300;
    std::vector<double> omega(kLines);
    std::vector<double> phase(kLines);
    for (std::size_t i = 0; i < kLines; ++i) {
        omega[i] = 2.0 * std::numbers::pi * random.between(50.0, top_hz) / rate_hz;
        phase[i] = random.between(0.0, 6.28);
    }
    const double scale = rms * std::sqrt(2.0 / static_cast<double>(kLines));
    for (std::size_t n = 0; n < out.size(); ++n) {
        double sum = 0.0;
        for (std::size_t i = 0; i < kLines; ++i) {
            sum += std::sin(omega[i] * static_cast<double>(n) + phase[i]);
        }
        out[n] = static_cast<float>(scale * sum);
    }
    return out;
}

hand::Bands hear(hand::BandMeter& meter, const std::vector<float>& sound) {
    hand::Bands bands;
    for (std::size_t n = 0; n + 256 <= sound.size(); n += 256) {
        meter.push(std::span(sound).subspan(n, 256));
        bands = meter.look();
    }
    return bands;
}

} // namespace

TEST_SUITE("hand/band_meter") {
    TEST_CASE("levels of sines come out in their bands") {
        for (const double rate_hz : {16000.0, 44100.0, 48000.0, 96000.0}) {
            CAPTURE(rate_hz);
            hand::BandMeter meter(rate_hz);
            std::vector<float> sound(static_cast<std::size_t>(0.2 * rate_hz));
            for (std::size_t n = 0; n < sound.size(); ++n) {
                const double t = static_cast<double>(n) / rate_hz;
                sound[n] = static_cast<float>(0.2 * std::sin(2.0 * std::numbers::pi * 500.0 * t) +
                                              0.02 * std::sin(2.0 * std::numbers::pi * 3000.0 * t));
            }
            const auto bands = hear(meter, sound);
            CHECK(bands.low_db ==
                  doctest::Approx(20.0 * std::log10(0.2 / std::sqrt(2.0))).epsilon(0.01));
            CHECK(bands.high_db - bands.low_db == doctest::Approx(-20.0).epsilon(0.01));
        }
    }

    TEST_CASE("finds where call audio ends, and does not take a dull tone for call audio") {
        test::Random random("bandwidth");
        for (const double top_hz : {4000.0, 8000.0, 12000.0}) {
            CAPTURE(top_hz);
            hand::BandMeter meter(48000.0);
            const auto bands = hear(meter, noise_up_to(top_hz, 48000.0, 0.01, random));
            CHECK(bands.bandwidth_hz == doctest::Approx(top_hz).epsilon(0.13));
        }
        hand::BandMeter meter(48000.0);
        std::vector<float> dull(48000);
        for (std::size_t n = 0; n < dull.size(); ++n) {
            dull[n] = static_cast<float>(0.2 * std::sin(0.03 * static_cast<double>(n)) +
                                         0.0008 * random.gauss());
        }
        CHECK(hear(meter, dull).bandwidth_hz == doctest::Approx(20000.0));
        hand::BandMeter narrow(8000.0);
        CHECK(narrow.look().bandwidth_hz == doctest::Approx(4000.0));
    }

    TEST_CASE("silence and numbers that are none do no harm") {
        hand::BandMeter meter(48000.0);
        std::vector<float> bad(48000, std::nanf(""));
        const auto bands = hear(meter, bad);
        CHECK(bands.total_db == -200.0);
        CHECK(std::isfinite(bands.bandwidth_hz));
    }
}
