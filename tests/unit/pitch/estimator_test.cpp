#include "pitch/estimator.h"

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::pitch;

namespace {

std::vector<float> tone(double f0_hz, double rate_hz, double seconds, std::vector<double> levels) {
    std::vector<float> x(static_cast<std::size_t>(seconds * rate_hz));
    for (std::size_t n = 0; n < x.size(); ++n) {
        double v = 0.0;
        for (std::size_t l = 0; l < levels.size(); ++l) {
            const double f = f0_hz * static_cast<double>(l + 1);
            if (f < 0.45 * rate_hz)
                v += levels[l] *
                     std::sin(2.0 * std::numbers::pi * f * static_cast<double>(n) / rate_hz +
                              static_cast<double>(l * l));
        }
        x[n] = static_cast<float>(0.1 * v);
    }
    return x;
}

std::vector<PitchFrame> run(Estimator& estimator, const std::vector<float>& x) {
    std::vector<PitchFrame> frames;
    std::span<const float> rest(x);
    while (!rest.empty()) {
        rest = rest.subspan(estimator.push(rest));
        PitchFrame frame;
        if (estimator.frame(frame))
            frames.push_back(frame);
    }
    return frames;
}

double cents(double a, double b) {
    return 1200.0 * std::log2(a / b);
}

} // namespace

TEST_SUITE("pitch/estimator") {
    TEST_CASE("a tone without its fundamental is heard at its pitch at every sample rate") {
        for (double rate : {8000.0, 16000.0, 22050.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
            auto estimator = make_estimator({rate, 0.0}).value();
            const auto frames =
                run(*estimator, tone(97.3, rate, 0.4, {0.0, 0.0, 0.3, 1.0, 0.8, 1.0, 0.6, 0.3}));
            REQUIRE(frames.size() > 60);
            const PitchFrame& last = frames.back();
            CAPTURE(rate);
            REQUIRE(last.voiced);
            CHECK(std::abs(cents(last.judged_hz, 97.3)) < 0.1);
            CHECK(std::abs(cents(last.f0_hz, 97.3)) < 5.0);
            CHECK(last.judged_time_s < last.time_s);
        }
    }

    TEST_CASE("silence and samples that are not numbers give no pitch") {
        auto estimator = make_estimator({}).value();
        std::vector<float> x(9600, 0.0F);
        x[5000] = std::numeric_limits<float>::quiet_NaN();
        x[6000] = std::numeric_limits<float>::infinity();
        for (const PitchFrame& frame : run(*estimator, x)) {
            CHECK_FALSE(frame.voiced);
            CHECK(frame.level_dbfs < -100.0F);
        }
    }

    TEST_CASE("a sample rate it cannot serve is refused in a sentence") {
        const auto refused = make_estimator({4000.0, 0.0});
        REQUIRE_FALSE(refused.has_value());
        CHECK(refused.error().message.find("192 kHz") != std::string::npos);
    }
}
