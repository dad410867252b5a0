#pragma once

#include "hand/band_meter.h"
#include "hand/timbre_model.h"
#include "pitch/frame.h"

#include <array>

namespace bellhand::hand {

/// The colour of one hop of a tone. Levels are against the tone as a whole, so loudness falls out.
struct Colour {
    bool known = false;
    double f0_hz = 0.0;
    double level_dba = -200.0;
    /// Mean level of the harmonics 1, 2-3, 4-5, 7-10 against the whole tone; `group_known` is false where the input has
    /// no bandwidth for them or noise covers them.
    std::array<double, kGroups> group_db{};
    std::array<bool, kGroups> group_known{};
    double centroid_harmonic = 1.0; ///< centroid over f0, by power
    bool slope_known = false;       ///< at least an octave of harmonics stands above the strongest
    double slope_db_per_octave = 0.0; ///< of the harmonics from the strongest up
    bool bands_known = false;         ///< the two levels below
    double high_minus_low_db = 0.0;   ///< 2-5 kHz against 0.2-1 kHz
    double above_5_khz_db = 0.0;      ///< against the whole tone
    double bandwidth_hz = 20000.0;
};

/// Traits of a colour that are compared with the player's own open notes: the four groups, centroid and slope.
inline constexpr std::size_t kTraits = kGroups + 2;
struct Traits {
    std::array<double, kTraits>
        value{}; ///< dB; centroid: 6 dB for each octave over f0; slope: dB per octave
    std::array<bool, kTraits> known{};
};
[[nodiscard]] Traits traits_of(const Colour& colour) noexcept;

/// From a voiced frame with harmonics; `known` is false otherwise. No allocation.
[[nodiscard]] Colour colour_of(const pitch::PitchFrame& frame, const Bands& bands) noexcept;

/// What the colour says about the hand: log odds of stop-like against open at even odds, in nats.
struct TimbreEvidence {
    bool known = false;
    double envelope = 0.0; ///< by the harmonic envelope, as measured tones differ
    double bright = 0.0;   ///< 2-5 kHz against 0.2-1 kHz in dB, `bright_known`
    bool bright_known = false;
    double trust = 1.0; ///< 0..1, falls with the bandwidth
};
[[nodiscard]] TimbreEvidence evidence_of(const Colour& colour, const TimbreModel& model) noexcept;

/// Both kinds of stopped sound in one figure: half the stopped tones are taken to differ by the envelope, half by their
/// brightness. Clamped to the model's limit, then shrunk by `trust`. The shifts are what the player's own open notes
/// have shown (0 without).
[[nodiscard]] double combined_log_odds(const TimbreEvidence& evidence,
                                       const TimbreModel& model,
                                       double envelope_shift,
                                       double bright_shift_db) noexcept;

} // namespace bellhand::hand
