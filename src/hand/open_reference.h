#pragma once

#include "hand/hand_colour.h"

#include <array>

namespace bellhand::hand {

/// How one figure of open notes goes with register and level: a curved surface, learnt note by note (recursive least squares
/// with a prior, which is Kalman's filter for a state that stands still, 1960).
struct LearntSurface {
    /// At the reference, per octave, per 10 dB, per octave squared, per octave and 10 dB, per 10 dB squared.
    static constexpr std::size_t kTerms = 6;
    using Terms = std::array<double, kTerms>;

    Terms value{};
    std::array<Terms, kTerms> variance{}; ///< of `value`

    [[nodiscard]] double at(double octaves, double tens_of_db) const noexcept;
    [[nodiscard]] double variance_at(double octaves, double tens_of_db) const noexcept;
    void learn(double octaves, double tens_of_db, double figure, double noise_variance) noexcept;
};

/// What this player's own open notes sound like through this microphone in this room, and how far the whole horn is off.
///
/// Plain data: a profile may keep it. Knows nothing at first: no shift, wide variance.
struct OpenReference {
    LearntSurface envelope; ///< log odds of open notes, less what is usual
    LearntSurface bright;   ///< 2-5 kHz against 0.2-1 kHz of open notes, dB
    std::array<LearntSurface, kTraits> traits;
    double offset_cents = 0.0; ///< of open notes from where the hand response has them
    double offset_variance = 900.0;
    double level_dba = -30.0; ///< of the first open note: levels are counted from it
    int notes = 0;

    [[nodiscard]] double envelope_shift(const Colour& colour,
                                        const TimbreModel& model) const noexcept;
    [[nodiscard]] double bright_shift_db(const Colour& colour,
                                         const TimbreModel& model) const noexcept;
    /// The colour against the player's own open notes of this register and loudness; nothing known before eight notes.
    [[nodiscard]] OwnColour own_colour(const Colour& colour,
                                       const TimbreModel& model) const noexcept;
};

[[nodiscard]] OpenReference unknown_player() noexcept;

/// Takes in the colour of one open note; the pitch offset stays.
void learn_open_colour(OpenReference& reference,
                       const Colour& colour,
                       const TimbreModel& model) noexcept;

/// Takes in one open note. `cents_off`: from its place in the hand response; `lip_sd_cents`: how surely lips hit it.
void learn_open_note(OpenReference& reference,
                     const Colour& colour,
                     const TimbreModel& model,
                     double cents_off,
                     double lip_sd_cents) noexcept;

} // namespace bellhand::hand
