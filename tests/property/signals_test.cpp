#include "support/signals.h"

#include "support/signals_disturb.h"
#include "support/signals_room.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand::test;

namespace {

/// Times of the upward zero crossings between two instants, by linear interpolation.
std::vector<double> crossings_s(const Samples& x, double from_s, double to_s, double rate_hz) {
    std::vector<double> times;
    for (auto n = static_cast<std::size_t>(from_s * rate_hz);
         n + 1 < static_cast<std::size_t>(to_s * rate_hz);
         ++n) {
        if (x[n] < 0.0 && x[n + 1] >= 0.0) {
            times.push_back((static_cast<double>(n) + x[n] / (x[n] - x[n + 1])) / rate_hz);
        }
    }
    return times;
}

} // namespace

TEST_SUITE("support/signals") {
    TEST_CASE("the truth of a wavering tone is the pitch that its waveform has") {
        Random random(7);
        ToneShape shape;
        shape.first = {1.0};
        shape.f0_hz = [](double t) { return 300.0 * std::exp2(0.4 * std::sin(12.0 * t) / 12.0); };
        shape.scoop_cents = -40.0;
        shape.lips = {5.0, 2.0, 1.0};
        const KnownTone tone = make_tone(shape, 1.2, 48000.0, random);
        const auto times = crossings_s(tone.samples, 0.2, 1.0, 48000.0);
        REQUIRE(times.size() > 200);
        double cycles = 0.0; // of the truth, summed millisecond by millisecond
        double worst = 0.0;
        std::size_t next = 0;
        double first_cycles = 0.0;
        for (std::size_t ms = 0; ms + 1 < tone.f0_hz.size() && next < times.size(); ++ms) {
            const double begin_s = 0.001 * static_cast<double>(ms);
            const double mean_hz = 0.5 * (tone.f0_hz[ms] + tone.f0_hz[ms + 1]);
            while (next < times.size() && times[next] < begin_s + 0.001) {
                const double here = cycles + (times[next] - begin_s) * mean_hz;
                first_cycles = next == 0 ? here : first_cycles;
                worst = std::max(worst, std::abs(here - first_cycles - static_cast<double>(next)));
                ++next;
            }
            cycles += 0.001 * mean_hz;
        }
        CHECK(worst < 0.01);
    }

    TEST_CASE(
        "a stopped spectrum has its fundamental 25 to 40 dB under harmonics 4 to 8, at any pitch") {
        Random random(3);
        for (const double f0_hz : {60.0, 200.0, 700.0}) {
            const Spectrum s = spectrum(Timbre::stopped, f0_hz, 19000.0, random);
            REQUIRE(s.size() >= 8);
            const double under_db = 20.0 * std::log10(s[3] / s[0]);
            CHECK(under_db > 20.0);
            CHECK(under_db < 45.0);
        }
    }

    TEST_CASE("noise has the level that was asked for") {
        Random random(11);
        for (const double snr_db : {0.0, 20.0}) {
            Samples white(96000, 0.0);
            add_white(white, snr_db, random);
            CHECK(20.0 * std::log10(rms(white)) ==
                  doctest::Approx(-snr_db).epsilon(0.01).scale(10.0));
            Samples hum(96000, 0.0);
            add_hum(hum, snr_db, 50.0, 48000.0, random);
            CHECK(20.0 * std::log10(rms(hum)) ==
                  doctest::Approx(-snr_db).epsilon(0.01).scale(10.0));
        }
    }

    TEST_CASE("pink noise falls 3 dB an octave") {
        Random random(5);
        Samples pink(480000, 0.0);
        add_pink(pink, 0.0, 48000.0, random);
        const auto band_db = [&](double low_hz) {
            return 20.0 * std::log10(rms(low_passed(
                              high_passed(pink, low_hz, 48000.0, true), 2.0 * low_hz, 48000.0)));
        };
        for (const double low_hz : {100.0, 400.0, 1600.0, 6400.0}) { // equal power in every octave
            CHECK(std::abs(band_db(low_hz) - band_db(800.0)) < 1.5);
        }
    }

    TEST_CASE("a simulated room decays as long as it should, by Schroeder's integration") {
        for (const double rt60_s : {0.3, 0.7, 1.3}) {
            Room room;
            room.rt60_s = rt60_s;
            Random random(17);
            const Samples response = impulse_response(room, 16000.0, random);
            CHECK(response[0] == doctest::Approx(1.0).epsilon(0.05));
            CHECK(measured_rt60_s(response, 16000.0) == doctest::Approx(rt60_s).epsilon(0.25));
        }
    }

    TEST_CASE("convolution with a delayed impulse delays") {
        Random random(2);
        Samples x(1000);
        for (double& v : x) {
            v = random.gauss();
        }
        Samples response(50, 0.0);
        response[20] = 0.5;
        const Samples y = convolved(x, response);
        double worst = 0.0;
        for (std::size_t n = 20; n < x.size(); ++n) {
            worst = std::max(worst, std::abs(y[n] - 0.5 * x[n - 20]));
        }
        CHECK(worst < 1e-5);
    }
}
