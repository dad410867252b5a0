#include "hand/features.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

constexpr int kUsedHarmonics = 20; // as many as the measured tones have
constexpr double kFloor_db = 60.0; // below the strongest harmonic everything counts as this
constexpr int kGroupLow[kGroups] = {1, 2, 4, 7};
constexpr int kGroupHigh[kGroups] = {1, 3, 5, 10};
// Noise in the narrow window of one harmonic, against noise as a whole (40 Hz of some 10 kHz).
constexpr double kNoiseInHarmonic_db = -22.0;
constexpr double kSilent_db = -150.0;     // of all bands together: no sound was heard by the meter
constexpr double kBandNeeded_hz = 4000.0; // of bandwidth, for 2-5 kHz to mean something
constexpr double kHeardByEar_hz = 9600.0; // up to here the ear of pitch hears harmonics
constexpr double kCentroidOctave_db = 6.0;
constexpr double kFullTrust_hz = 16000.0; // of bandwidth
constexpr double kLeastTrust = 0.35;      // common practice, no source

double power_of(double db) {
    return std::pow(10.0, 0.1 * db);
}

struct Slope {
    bool known = false;
    double db_per_octave = 0.0;
};

/// Least-squares slope of level over octaves, from the strongest harmonic up to 50 dB below it.
Slope slope_of(const pitch::PitchFrame& frame, int count, int strongest) {
    double n = 0.0;
    double x_sum = 0.0;
    double y_sum = 0.0;
    double xx = 0.0;
    double xy = 0.0;
    double furthest = 0.0;
    const auto top = static_cast<double>(frame.harmonic_db[static_cast<std::size_t>(strongest)]);
    for (int k = strongest; k < count; ++k) {
        const auto y = static_cast<double>(frame.harmonic_db[static_cast<std::size_t>(k)]);
        if (y < top - 50.0) {
            continue;
        }
        const double x = std::log2((k + 1.0) / (strongest + 1.0));
        furthest = x;
        n += 1.0;
        x_sum += x;
        y_sum += y;
        xx += x * x;
        xy += x * y;
    }
    const double spread = xx - x_sum * x_sum / std::max(n, 1.0);
    if (n < 3.0 || furthest < 1.0) {
        return {};
    }
    return {true, (xy - x_sum * y_sum / n) / spread};
}

} // namespace

Colour colour_of(const pitch::PitchFrame& frame, const Bands& bands) noexcept {
    Colour out;
    out.bandwidth_hz = bands.bandwidth_hz;
    const int heard = std::min(frame.harmonics, pitch::kMaxHarmonics);
    if (!frame.voiced || !(frame.f0_hz > 0.0) || heard < 3) {
        return out;
    }
    const int within = static_cast<int>(bands.bandwidth_hz / frame.f0_hz);
    const int count = std::min(heard, within);
    if (count < 3) {
        return out;
    }
    int strongest = 0;
    for (int k = 1; k < count; ++k) {
        if (frame.harmonic_db[static_cast<std::size_t>(k)] >
            frame.harmonic_db[static_cast<std::size_t>(strongest)]) {
            strongest = k;
        }
    }
    const auto top = static_cast<double>(frame.harmonic_db[static_cast<std::size_t>(strongest)]);
    if (!(top > -150.0)) {
        return out;
    }
    std::array<double, pitch::kMaxHarmonics> level{};
    double power = 0.0;
    double moment = 0.0;
    double used_power = 0.0;
    for (int k = 0; k < count; ++k) {
        const auto i = static_cast<std::size_t>(k);
        level[i] = std::max(static_cast<double>(frame.harmonic_db[i]), top - kFloor_db);
        const double p = power_of(level[i] - top);
        power += p;
        moment += p * (k + 1.0);
        used_power += k < kUsedHarmonics ? p : 0.0;
    }
    out.known = true;
    out.f0_hz = frame.f0_hz;
    out.level_dba = static_cast<double>(frame.level_dba);
    out.centroid_harmonic = moment / power;
    const Slope slope = slope_of(frame, count, strongest);
    out.slope_known = slope.known;
    out.slope_db_per_octave = slope.db_per_octave;
    const double total_db = top + 10.0 * std::log10(used_power);
    const double noise_db = total_db - static_cast<double>(frame.snr_db) + kNoiseInHarmonic_db;
    for (std::size_t g = 0; g < kGroups; ++g) {
        double sum = 0.0;
        int known = 0;
        int covered = 0;
        for (int k = kGroupLow[g] - 1; k < kGroupHigh[g] && k < count; ++k) {
            const double db = level[static_cast<std::size_t>(k)];
            sum += db;
            ++known;
            covered += db < noise_db ? 1 : 0;
        }
        out.group_known[g] = known > 0 && 2 * covered <= known;
        out.group_db[g] = known > 0 ? sum / known - total_db : 0.0;
    }
    out.bands_known = bands.total_db > kSilent_db;
    out.high_minus_low_db = bands.high_db - bands.low_db;
    out.above_5_khz_db = bands.above_5_khz_db - bands.total_db;
    return out;
}

Traits traits_of(const Colour& colour) noexcept {
    Traits out;
    if (!colour.known) {
        return out;
    }
    for (std::size_t g = 0; g < kGroups; ++g) {
        out.value[g] = colour.group_db[g];
        out.known[g] = colour.group_known[g];
    }
    const bool whole = colour.bandwidth_hz >= kHeardByEar_hz;
    out.value[kGroups] = kCentroidOctave_db * std::log2(colour.centroid_harmonic);
    out.known[kGroups] = whole;
    out.value[kGroups + 1] = colour.slope_db_per_octave;
    out.known[kGroups + 1] = whole && colour.slope_known;
    return out;
}

TimbreEvidence evidence_of(const Colour& colour, const TimbreModel& model) noexcept {
    TimbreEvidence out;
    if (!colour.known || colour.f0_hz < model.lowest_hz || colour.f0_hz > model.highest_hz) {
        return out;
    }
    out.known = true;
    const double octaves = std::log2(colour.f0_hz / model.reference_hz);
    out.envelope = model.constant;
    for (std::size_t g = 0; g < kGroups; ++g) {
        if (!colour.group_known[g]) {
            continue;
        }
        const auto& u = model.usual_db[g];
        const double usual = u[0] + octaves * (u[1] + octaves * u[2]);
        out.envelope += model.weight[g] * (colour.group_db[g] - usual) / model.spread_db[g];
    }
    out.bright_known = colour.bands_known && colour.bandwidth_hz >= kBandNeeded_hz;
    out.bright = colour.high_minus_low_db;
    out.trust =
        kLeastTrust + (1.0 - kLeastTrust) * std::min(1.0, colour.bandwidth_hz / kFullTrust_hz);
    return out;
}

double combined_log_odds(const TimbreEvidence& evidence,
                         const TimbreModel& model,
                         double envelope_shift,
                         double bright_shift_db) noexcept {
    if (!evidence.known) {
        return 0.0;
    }
    const double most = model.most_log_odds;
    const double envelope = std::clamp(evidence.envelope - envelope_shift, -most, most);
    double both = envelope;
    if (evidence.bright_known) {
        const double bright = std::clamp(
            model.bright_per_db * (evidence.bright - bright_shift_db - model.bright_edge_db),
            -most,
            most);
        both = std::log(0.5 * std::exp(envelope) + 0.5 * std::exp(bright));
    }
    return evidence.trust * both;
}

} // namespace bellhand::hand
