#include "audio/horn_spectrum.h"

#include <algorithm>
#include <cmath>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand::audio;

namespace {

double db_of(const HornSpectrum& spectrum, int harmonic) {
    const double a = harmonic <= spectrum.count
                         ? spectrum.amplitude[static_cast<std::size_t>(harmonic - 1)]
                         : 0.0;
    return 20.0 * std::log10(std::max(a, 1e-9));
}

int strongest(const HornSpectrum& spectrum) {
    const auto* best = std::max_element(spectrum.amplitude.begin(), spectrum.amplitude.end());
    return 1 + static_cast<int>(best - spectrum.amplitude.begin());
}

double centroid_hz(const HornSpectrum& spectrum, double f0_hz) {
    double weighted = 0.0;
    double sum = 0.0;
    for (int k = 1; k <= spectrum.count; ++k) {
        const double a = spectrum.amplitude[static_cast<std::size_t>(k - 1)];
        weighted += a * f0_hz * k;
        sum += a;
    }
    return weighted / sum;
}

} // namespace

TEST_SUITE("audio/horn_spectrum") {
    // Published figures of the open horn: J. Meyer, Acoustics and the Performance of Music, 5th ed. (2009), tonal
    // characteristics of the horn: main formant about 340 Hz; from sounding C4 up the fundamental is strongest, below
    // it the maximum moves to partial 2, then 4 to 5; 12 dB per octave below the maximum; at 62 Hz the fundamental is
    // about 25 dB under the strongest partial.
    TEST_CASE("the main formant of the open horn lies between 340 and 450 Hz") {
        for (const double dynamics : {-0.5, 0.0, 0.5, 1.0}) {
            double best_hz = 0.0;
            double best_db = -1000.0;
            for (double hz = 100.0; hz < 2000.0; hz *= 1.01) {
                if (open_envelope_db(hz, dynamics) > best_db) {
                    best_db = open_envelope_db(hz, dynamics);
                    best_hz = hz;
                }
            }
            CAPTURE(dynamics);
            CHECK(best_hz >= 320.0);
            CHECK(best_hz <= 450.0);
        }
    }

    TEST_CASE("below the formant the open envelope falls by 12 dB an octave") {
        CHECK(open_envelope_db(100.0, 0.0) - open_envelope_db(50.0, 0.0) ==
              doctest::Approx(12.0).epsilon(0.05));
    }

    TEST_CASE("at 62 Hz the fundamental lies about 25 dB under the strongest partial") {
        const HornSpectrum low = horn_spectrum({62.0, 0.0, 0.0}, 20000.0, 1);
        const double under_db = db_of(low, strongest(low)) - db_of(low, 1);
        CHECK(under_db > 21.0);
        CHECK(under_db < 29.0);
        CHECK(strongest(low) >= 4);
    }

    TEST_CASE("from sounding C4 up the fundamental is strongest, a little below partial 2, in the "
              "low octave 4 or 5") {
        for (const double f0_hz : {261.6, 329.6, 440.0, 587.3, 698.5}) {
            CAPTURE(f0_hz);
            CHECK(strongest(horn_spectrum({f0_hz, 0.0, 0.0}, 20000.0, 1)) == 1);
        }
        for (const double f0_hz : {155.6, 174.6, 196.0}) {
            CAPTURE(f0_hz);
            CHECK(strongest(horn_spectrum({f0_hz, 0.0, 0.0}, 20000.0, 1)) == 2);
        }
        for (const double f0_hz : {77.8, 87.3}) {
            CAPTURE(f0_hz);
            const int best = strongest(horn_spectrum({f0_hz, 0.0, 0.0}, 20000.0, 1));
            CHECK(best >= 4);
            CHECK(best <= 5);
        }
    }

    // T. Dell, thesis abstract (University of Western Australia): stopping moves the spectral centroid from under 1 kHz
    // to over 3 kHz without a change of level.
    TEST_CASE("full stop moves the centroid from below 1 kHz to above 3 kHz at the same level") {
        for (const double f0_hz : {174.6, 233.1, 349.2}) {
            CAPTURE(f0_hz);
            const HornSpectrum open = horn_spectrum({f0_hz, 0.0, 0.3}, 20000.0, 1);
            const HornSpectrum stopped = horn_spectrum({f0_hz, 1.0, 0.3}, 20000.0, 1);
            CHECK(centroid_hz(open, f0_hz) < 1000.0);
            CHECK(centroid_hz(stopped, f0_hz) > 3000.0);
            double power = 0.0;
            for (const double a : stopped.amplitude) {
                power += 0.5 * a * a;
            }
            CHECK(power == doctest::Approx(1.0));
        }
    }

    TEST_CASE(
        "full stop leaves the fundamental 25 to 40 dB under harmonics 4 to 8") { // common practice, no source
        for (const double f0_hz : {87.3, 116.5, 174.6, 233.1, 349.2, 466.2}) {
            CAPTURE(f0_hz);
            const HornSpectrum stopped = horn_spectrum({f0_hz, 1.0, 0.0}, 20000.0, 1);
            double power = 0.0;
            for (int k = 4; k <= 8; ++k) {
                power += std::pow(10.0, db_of(stopped, k) / 10.0);
            }
            const double under_db = 10.0 * std::log10(power / 5.0) - db_of(stopped, 1);
            CHECK(under_db > 25.0);
            CHECK(under_db < 40.0);
        }
    }

    // A. Ebihara and S. Yoshikawa, J. Acoust. Soc. Am. 133, 3094 (2013): the metallic stopped tone has harmonics beyond
    // 10 kHz.
    TEST_CASE("a loud stopped tone reaches beyond 10 kHz, an open one does not") {
        const double f0_hz = 174.6;
        const int beyond = static_cast<int>(10500.0 / f0_hz);
        const HornSpectrum open = horn_spectrum({f0_hz, 0.0, 0.5}, 20000.0, 1);
        const HornSpectrum stopped = horn_spectrum({f0_hz, 1.0, 0.5}, 20000.0, 1);
        CHECK(db_of(stopped, beyond) > db_of(stopped, strongest(stopped)) - 40.0);
        CHECK(db_of(open, beyond) < db_of(open, strongest(open)) - 50.0);
    }

    TEST_CASE("a brassy tone is brighter than a soft one, at every pitch and closure") {
        for (const double f0_hz : {65.4, 130.8, 261.6, 523.3}) {
            for (const double closure : {0.0, 0.25, 0.5, 0.75, 1.0}) {
                CAPTURE(f0_hz);
                CAPTURE(closure);
                CHECK(centroid_hz(horn_spectrum({f0_hz, closure, 1.0}, 20000.0, 1), f0_hz) >
                      1.15 * centroid_hz(horn_spectrum({f0_hz, closure, -1.0}, 20000.0, 1), f0_hz));
            }
        }
    }

    TEST_CASE("no harmonic stands at or above the highest frequency allowed") {
        for (const double highest_hz : {3600.0, 10000.0, 88000.0}) {
            for (const double f0_hz : {29.0, 440.0, 1600.0}) {
                const HornSpectrum spectrum = horn_spectrum({f0_hz, 1.0, 1.0}, highest_hz, 3);
                CHECK(spectrum.count >= 1);
                CHECK(f0_hz * spectrum.count < highest_hz);
            }
        }
    }
}
