#include "audio/horn_spectrum.h"

#include "audio/exact_math.h"

#include <algorithm>
#include <cmath>

namespace bellhand::audio {

namespace {

struct Formant {
    double hz;
    double db;
    double width_octaves;
};

double bump_db(double frequency_hz, const Formant& formant) noexcept {
    const double away = exact::log2(frequency_hz / formant.hz) / formant.width_octaves;
    return formant.db * exact::exp2(-0.72 * away * away); // half the decibels at 1.18 widths
}

/// 12 dB per octave below the corner.
double low_side_db(double frequency_hz, double corner_hz) noexcept {
    const double ratio = corner_hz / frequency_hz;
    return -exact::db_of_power(1.0 + ratio * ratio * ratio * ratio);
}

/// 6 dB per octave above the corner for each order.
double high_side_db(double frequency_hz, double corner_hz, double order) noexcept {
    const double ratio = frequency_hz / corner_hz;
    return -order * exact::db_of_power(1.0 + ratio * ratio);
}

double smooth_step(double x) noexcept {
    const double u = std::clamp(x, 0.0, 1.0);
    return u * u * (3.0 - 2.0 * u);
}

} // namespace

double open_envelope_db(double frequency_hz, double dynamics) noexcept {
    const double d = std::clamp(dynamics, -1.5, 1.5);
    const double order = d < 0.0 ? 3.6 - 1.0 * d : 3.6 - 1.4 * d;
    const double upper = 1.0 + 0.5 * d; // the upper formants open with the level
    double db = low_side_db(frequency_hz, 265.0) + high_side_db(frequency_hz, 480.0, order);
    db += bump_db(frequency_hz, {400.0, 4.0, 0.35});
    db += bump_db(frequency_hz, {750.0, 1.0 * upper, 0.2});
    db += bump_db(frequency_hz, {1225.0, 1.5 * upper, 0.2});
    db += bump_db(frequency_hz, {2000.0, 3.0 * upper, 0.2});
    db += bump_db(frequency_hz, {3500.0, 3.0 * upper, 0.2});
    return db;
}

double stopped_envelope_db(double frequency_hz, double dynamics) noexcept {
    const double d = std::clamp(dynamics, -1.5, 1.5);
    const double soft = std::min(d, 0.0);
    const double order = 2.0 - (d < 0.0 ? 1.2 : 0.6) * d;
    return low_side_db(frequency_hz, 1800.0 + 500.0 * soft) +
           high_side_db(frequency_hz, 4500.0 + 1000.0 * soft, order) +
           bump_db(frequency_hz, {3000.0, 7.0 + 3.0 * d, 0.5});
}

HornSpectrum
horn_spectrum(const ToneColour& colour, double highest_hz, std::uint64_t character) noexcept {
    const double closure = std::clamp(colour.closure, 0.0, 1.0);
    // Up to three quarters the hand only covers the tone; the metallic sound comes with the last of the opening.
    const double stopped_share = smooth_step((closure - 0.7) / 0.3);
    const double cover_db_per_octave = -4.0 * std::min(closure, 0.75);

    HornSpectrum out;
    std::array<double, kMaxToneHarmonics> db{};
    double strongest = -1000.0;
    int possible = 0;
    exact::Random own(character);
    for (int k = 1; k <= kMaxToneHarmonics; ++k) {
        const double own_db = (own.uniform() - 0.5) * 3.0;
        const double hz = colour.f0_hz * k;
        if (!(hz < highest_hz)) {
            break;
        }
        const double covered = open_envelope_db(hz, colour.dynamics) +
                               cover_db_per_octave * std::max(0.0, exact::log2(hz / 500.0));
        const double stopped = stopped_envelope_db(hz, colour.dynamics);
        const auto i = static_cast<std::size_t>(k - 1);
        db[i] = covered + stopped_share * (stopped - covered) + own_db;
        strongest = std::max(strongest, db[i]);
        possible = k;
    }

    double power = 0.0;
    for (int k = 1; k <= possible; ++k) {
        const auto i = static_cast<std::size_t>(k - 1);
        if (db[i] > strongest - 90.0) {
            out.amplitude[i] = exact::amplitude_of_db(db[i] - strongest);
            power += 0.5 * out.amplitude[i] * out.amplitude[i];
            out.count = k;
        }
    }
    const double scale = power > 0.0 ? 1.0 / std::sqrt(power) : 0.0;
    for (int i = 0; i < out.count; ++i) {
        out.amplitude[static_cast<std::size_t>(i)] *= scale;
    }
    return out;
}

} // namespace bellhand::audio
