#pragma once

#include "hand/features.h"

#include <array>

namespace bellhand::hand {

/// A straight relation of one figure to register and level, learnt note by note (recursive least squares with a prior,
/// which is Kalman's filter for a state that stands still, 1960).
struct LearntLine {
    std::array<double, 3> value{};                   ///< at the reference, per octave, per 10 dB
    std::array<std::array<double, 3>, 3> variance{}; ///< of `value`

    [[nodiscard]] double at(double octaves, double tens_of_db) const noexcept;
    [[nodiscard]] double variance_at(double octaves, double tens_of_db) const noexcept;
    void learn(double octaves, double tens_of_db, double figure, double noise_variance) noexcept;
};

/// What this player's own open notes sound like through this microphone in this room, and how far the whole horn is off.
///
/// Plain data: a profile may keep it. Knows nothing at first: no shift, wide variance.
struct OpenReference {
    LearntLine envelope;       ///< log odds of open notes, less what is usual
    LearntLine bright;         ///< 2-5 kHz against 0.2-1 kHz of open notes, dB
    double offset_cents = 0.0; ///< of open notes from where the hand response has them
    double offset_variance = 900.0;
    double level_dba = -30.0; ///< usual level of the player: mean over the open notes
    int notes = 0;

    [[nodiscard]] double envelope_shift(const Colour& colour,
                                        const TimbreModel& model) const noexcept;
    [[nodiscard]] double bright_shift_db(const Colour& colour,
                                         const TimbreModel& model) const noexcept;
};

[[nodiscard]] OpenReference unknown_player() noexcept;

/// Takes in one open note. `cents_off`: from its place in the hand response; `lip_sd_cents`: how surely lips hit it.
void learn_open_note(OpenReference& reference,
                     const Colour& colour,
                     const TimbreModel& model,
                     double cents_off,
                     double lip_sd_cents) noexcept;

} // namespace bellhand::hand
