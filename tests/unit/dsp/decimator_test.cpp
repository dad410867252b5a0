#include "dsp/decimator.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <stdexcept>

#include <doctest/doctest.h>

using bellhand::dsp::Decimator;

namespace {

// Level of the low-pass in dB at `f`, in cycles per input sample.
double response_db(const Decimator& d, double f) {
    std::complex<double> sum;
    for (std::size_t n = 0; n < d.taps().size(); ++n)
        sum += std::polar(static_cast<double>(d.taps()[n]),
                          -2.0 * std::numbers::pi * f * static_cast<double>(n));
    return 20.0 * std::log10(std::abs(sum) + 1e-12);
}

} // namespace

TEST_SUITE("dsp/decimator") {
    TEST_CASE("passband is flat and what would fold back is 69 dB down") {
        for (int factor : {2, 3, 4, 8}) {
            const Decimator d(factor);
            double ripple = 0.0;
            double leak = -200.0;
            for (int i = 0; i <= 2000; ++i) {
                const double f = 0.5 * i / 2000.0;
                const double level = response_db(d, f);
                if (f <= 0.40 / factor)
                    ripple = std::max(ripple, std::abs(level));
                if (f >= 0.50 / factor)
                    leak = std::max(leak, level);
            }
            CAPTURE(factor);
            CHECK(ripple < 0.02);
            CHECK(leak < -69.0);
        }
    }

    TEST_CASE("outputs describe the instant that delay_samples states") {
        Decimator d(4);
        const double f = 0.031;
        float y = 0.0F;
        double worst = 0.0;
        for (int n = 0; n < 1000; ++n) {
            const auto x = static_cast<float>(std::sin(2.0 * std::numbers::pi * f * n));
            if (d.push(x, y) && n > 300) {
                const double expected =
                    std::sin(2.0 * std::numbers::pi * f * (n - d.delay_samples()));
                worst = std::max(worst, std::abs(static_cast<double>(y) - expected));
            }
        }
        CHECK(worst < 2e-3);
    }

    TEST_CASE("factor one changes nothing") {
        Decimator d(1);
        float y = 0.0F;
        for (float x : {0.25F, -1.0F, 3.0F}) {
            CHECK(d.push(x, y));
            CHECK(y == x);
        }
        CHECK(d.delay_samples() == 0.0);
        CHECK_THROWS_AS(Decimator(0), std::invalid_argument);
    }

    TEST_CASE("after reset nothing of the past comes out") {
        Decimator d(2);
        float y = 0.0F;
        for (int n = 0; n < 101; ++n)
            (void)d.push(1.0F, y);
        d.reset();
        CHECK_FALSE(d.push(0.0F, y));
        CHECK(d.push(0.0F, y));
        CHECK(y == 0.0F);
    }
}
