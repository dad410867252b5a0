#include "dsp/a_weighting.h"

#include <array>
#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

using bellhand::dsp::a_weighting_db;
using bellhand::dsp::AWeighting;

namespace {

struct Row {
    int band; // frequency 1000 * 10^(band / 10) Hz
    double level_db;
};

// IEC 61672-1:2013, Table 3, column A, nominal 10 Hz to 20 kHz (values from memory).
constexpr std::array<Row, 34> kTable{{
    {-20, -70.4}, {-19, -63.4}, {-18, -56.7}, {-17, -50.5}, {-16, -44.7}, {-15, -39.4},
    {-14, -34.6}, {-13, -30.2}, {-12, -26.2}, {-11, -22.5}, {-10, -19.1}, {-9, -16.1},
    {-8, -13.4},  {-7, -10.9},  {-6, -8.6},   {-5, -6.6},   {-4, -4.8},   {-3, -3.2},
    {-2, -1.9},   {-1, -0.8},   {0, 0.0},     {1, 0.6},     {2, 1.0},     {3, 1.2},
    {4, 1.3},     {5, 1.2},     {6, 1.0},     {7, 0.5},     {8, -0.1},    {9, -1.1},
    {10, -2.5},   {11, -4.3},   {12, -6.6},   {13, -9.3},
}};

double frequency_hz(int band) {
    return 1000.0 * std::pow(10.0, band / 10.0);
}

} // namespace

TEST_SUITE("dsp/a_weighting") {
    TEST_CASE("the curve meets the standard's table to its printed tenth") {
        for (const Row& row : kTable) {
            CAPTURE(row.band);
            CHECK(std::abs(a_weighting_db(frequency_hz(row.band)) - row.level_db) <= 0.0501);
        }
    }

    TEST_CASE("the filter follows the curve at every sample rate up to 0.4 of it") {
        for (double rate :
             {8000.0, 16000.0, 22050.0, 32000.0, 44100.0, 48000.0, 88200.0, 96000.0, 192000.0}) {
            const AWeighting filter(rate);
            for (const Row& row : kTable) {
                const double f = frequency_hz(row.band);
                if (f > 0.4 * rate)
                    continue;
                CAPTURE(rate);
                CAPTURE(f);
                CHECK(std::abs(filter.response_db(f) - a_weighting_db(f)) < 0.5);
            }
        }
    }

    TEST_CASE("a sine through the filter has the level the response promises") {
        AWeighting filter(48000.0);
        double sum = 0.0;
        for (int n = 0; n < 48000; ++n) {
            const double y = filter.push(std::sin(2.0 * std::numbers::pi * 100.0 * n / 48000.0));
            if (n >= 24000)
                sum += y * y;
        }
        const double level = 10.0 * std::log10(sum / 24000.0 / 0.5);
        CHECK(level == doctest::Approx(-19.1).epsilon(0.005));
    }
}
