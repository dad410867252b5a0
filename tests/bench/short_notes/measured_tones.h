#pragma once

#include "support/signals.h"

#include <array>
#include <string>
#include <vector>

namespace bellhand::test {

/// What was measured of a real tone at one moment, 8 ms after the one before.
struct MeasuredMoment {
    static constexpr std::size_t kHarmonics = 20;
    double cents = 0.0; ///< of f0, from the tone's nominal pitch
    double level_dbfs = -200.0;
    double noise_dbfs = -200.0;
    std::array<double, kHarmonics> harmonic_dbfs{};
};
inline constexpr double kMeasuredHop_s = 0.008;

/// A tone as a course of measured moments.
struct MeasuredCourse {
    std::string name;
    double f0_nominal_hz = 0.0;
    std::vector<MeasuredMoment> moments;
};

/// Reads `short_tones.json`. Pitch is smoothed by a median of three, and held where the tone is more than 25 dB under its
/// loudest, where it was measured roughly. Empty when the file cannot be read.
[[nodiscard]] std::vector<MeasuredCourse> read_short_tones(const std::string& path);

/// A tone that sounds at a known pitch from `start_s` to `end_s` (20 dB under its loudest).
struct SoundingTone {
    Samples samples;
    double start_s = 0.0;
    double end_s = 0.0;
    double f0_hz = 0.0; ///< power-weighted mean of what is within 10 dB of the loudest
};

/// Additive: 20 harmonics in random phase with the measured levels and pitch, low-passed noise at the measured residual,
/// and a quiet floor; `gap_s` of the floor before and `tail_s` after it.
[[nodiscard]] SoundingTone
sound_of(const MeasuredCourse& course, double gap_s, double tail_s, double rate_hz, Random& random);

/// A held tone with the measured spectrum of one recording, and the attack and decay that were measured on a short tone
/// near its pitch. `held_s`: the part between.
[[nodiscard]] MeasuredCourse held_course(const MeasuredTone& spectrum,
                                         const std::vector<MeasuredCourse>& short_tones,
                                         double held_s,
                                         Random& random);

} // namespace bellhand::test
