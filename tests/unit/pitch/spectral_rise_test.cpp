#include "pitch/spectral_rise.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using bellhand::pitch::History;
using bellhand::pitch::SpectralRise;

namespace {

constexpr double kRate_hz = 24000.0;
constexpr int kHop = 128;

struct Heard {
    double most_db = 0.0;
    double at_s = 0.0; ///< when most came in
};

/// Most new sound that came in from `from_s` on; `sound` gives a sample at a time in seconds.
template <typename Sound>
Heard heard(double length_s, double from_s, Sound sound) {
    SpectralRise rise(kRate_hz, kHop);
    History history(8192);
    Heard out;
    std::vector<float> hop(kHop);
    for (int n = 0; n + kHop < static_cast<int>(length_s * kRate_hz); n += kHop) {
        for (int i = 0; i < kHop; ++i)
            hop[static_cast<std::size_t>(i)] = static_cast<float>(sound((n + i) / kRate_hz));
        history.append(hop);
        rise.hear(history);
        const double at_s = (n + kHop - rise.age()) / kRate_hz;
        if (at_s >= from_s && rise.rise_db() > out.most_db)
            out = {rise.rise_db(), at_s};
    }
    return out;
}

/// Ten harmonics of 250 Hz, each 3 dB under the one before; the phases differ with `seed`.
double tone(double t, double seed, double bend_cycles = 0.0) {
    double sum = 0.0;
    for (int h = 1; h <= 10; ++h)
        sum += 0.1 * std::pow(0.7, h - 1) *
               std::sin(2.0 * std::numbers::pi * h * (250.0 * t + bend_cycles) + seed * h * h);
    return sum;
}

} // namespace

TEST_SUITE("pitch/spectral_rise") {
    TEST_CASE("a stroke on the same pitch shows in what a room leaves of the note before") {
        for (const double rt60_s : {0.3, 0.8}) {
            CAPTURE(rt60_s);
            const Heard stroke = heard(1.2, 0.3, [=](double t) {
                const double rings =
                    t < 0.55 ? 1.0 : 0.8 * std::pow(10.0, -3.0 * (t - 0.55) / rt60_s);
                const double again = t < 0.6 ? 0.0 : std::min(1.0, (t - 0.6) / 0.025);
                return rings * tone(t, 0.3) + again * tone(t, 1.7);
            });
            CHECK(stroke.most_db > 3.0);
            CHECK(stroke.at_s == doctest::Approx(0.61).epsilon(0.03));
        }
    }

    TEST_CASE("a held note, a vibrato, an end and a decay are no news") {
        CHECK(heard(1.5, 0.3, [](double t) { return tone(t, 0.3); }).most_db < 0.5);
        const auto vibrato = [](double t) { // 20 cents to each side, 5.5 times a second
            return tone(t, 0.3, 250.0 * 0.0116 / 34.6 * std::sin(34.6 * t));
        };
        CHECK(heard(1.5, 0.3, vibrato).most_db < 1.0);
        const auto decay = [](double t) {
            return tone(t, 0.3) * (t < 0.7 ? 1.0 : std::pow(10.0, -3.0 * (t - 0.7) / 0.8));
        };
        CHECK(heard(1.5, 0.3, decay).most_db < 0.5);
        const auto end = [](double t) { // the lips let go within 20 ms
            return tone(t, 0.3) * std::clamp((0.7 - t) / 0.02, 0.0, 1.0);
        };
        CHECK(heard(0.72, 0.3, end).most_db < 1.0);
    }

    TEST_CASE("silence tells nothing, and a gap begins anew") {
        CHECK(heard(1.0, 0.0, [](double) { return 0.0; }).most_db == 0.0);
        SpectralRise rise(kRate_hz, kHop);
        History history(8192);
        std::vector<float> hop(kHop, 0.0F);
        for (int i = 0; i < 20; ++i) {
            history.append(hop);
            rise.hear(history);
        }
        rise.forget();
        for (std::size_t i = 0; i < hop.size(); ++i)
            hop[i] = static_cast<float>(tone(static_cast<double>(i) / kRate_hz, 0.3));
        history.append(hop);
        rise.hear(history);
        CHECK(rise.rise_db() == 0.0); // nothing to compare with yet
    }
}
