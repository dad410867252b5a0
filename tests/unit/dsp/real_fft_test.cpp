#include "dsp/real_fft.h"

#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

#include <doctest/doctest.h>

using bellhand::dsp::RealFft;

TEST_SUITE("dsp/real_fft") {
    TEST_CASE("every bin equals the defining sum") {
        for (int n : {8, 60, 128, 250, 720}) {
            std::vector<float> x(static_cast<std::size_t>(n));
            for (int i = 0; i < n; ++i)
                x[static_cast<std::size_t>(i)] =
                    static_cast<float>(std::sin(0.7 * i) + 0.3 * std::cos(1.9 * i * i));
            RealFft fft(n);
            std::vector<std::complex<float>> bins(static_cast<std::size_t>(fft.bins()));
            fft.forward(x, bins);
            for (int k = 0; k < fft.bins(); ++k) {
                std::complex<double> sum;
                for (int i = 0; i < n; ++i)
                    sum += std::polar(static_cast<double>(x[static_cast<std::size_t>(i)]),
                                      -2.0 * std::numbers::pi * k * i / n);
                CHECK(std::abs(std::complex<double>(bins[static_cast<std::size_t>(k)]) - sum) <
                      1e-4 * n);
            }
        }
    }

    TEST_CASE("there and back gives the samples times the length") {
        const int n = 90;
        std::vector<float> x(90);
        for (int i = 0; i < n; ++i)
            x[static_cast<std::size_t>(i)] = static_cast<float>(std::cos(3.1 * i) + i % 7);
        RealFft fft(n);
        std::vector<std::complex<float>> bins(static_cast<std::size_t>(fft.bins()));
        std::vector<float> back(90);
        fft.forward(x, bins);
        fft.inverse(bins, back);
        for (std::size_t i = 0; i < 90; ++i)
            CHECK(back[i] / 90.0F == doctest::Approx(x[i]).epsilon(1e-4).scale(1.0));
    }

    TEST_CASE("lengths that would allocate inside a transform are refused") {
        CHECK_THROWS_AS(RealFft(0), std::invalid_argument);
        CHECK_THROWS_AS(RealFft(15), std::invalid_argument);
        CHECK_THROWS_AS(RealFft(2 * 7), std::invalid_argument);
        CHECK_THROWS_AS(RealFft(-8), std::invalid_argument);
    }
}
