#pragma once

#include "hand/hand_ear.h"
#include "horn/hand_chart.h"
#include "horn/tuning.h"
#include "pitch/estimator.h"
#include "pitch/frame.h"

#include <optional>

namespace bellhand::trainer {

/// A pitch frame seen by a horn player: what sounds, what it should be, how far it is off.
struct Reading {
    pitch::PitchFrame frame;
    bool has_note = false;
    horn::NoteReading note; ///< from the live pitch; valid when has_note
    double judged_cents =
        0; ///< deviation of the judged pitch from the same target; valid when frame.judged_hz > 0
    horn::NoteReading judged_note; ///< nearest to the judged pitch; valid when has_note
    double whole_horn_cents = 0.0; ///< off where notes should be, by which both were named
    hand::HandEstimate hand;       ///< what the sound betrays of the hand at this moment
};

/// Turns frames into readings for one tuning. Remembers only the last note (hysteresis).
class Reader {
public:
    explicit Reader(const horn::Tuning& tuning);
    void set_tuning(const horn::Tuning& tuning) noexcept;
    /// How far the whole horn lies off: notes are named by where it has them, and measured against where they should be.
    void set_whole_horn_off(double cents) noexcept { whole_horn_cents_ = cents; }
    [[nodiscard]] const horn::Tuning& tuning() const noexcept { return tuning_; }
    /// No allocation.
    [[nodiscard]] Reading read(const pitch::PitchFrame& frame) noexcept;

private:
    [[nodiscard]] std::optional<horn::NoteReading>
    named(double f0_hz, std::optional<horn::Note> staying_on) const noexcept;

    horn::Tuning tuning_;
    double whole_horn_cents_ = 0.0;
    std::optional<horn::Note> last_;
};

/// The crook's partials under every hand position, as the estimator's prior: each open partial where the tube has it
/// (n times f1, the hand and the lips move it by some 25 cents) and each stopped note of the hand chart where it should
/// sound. Weights fall where the trade seldom plays (common practice, no source): partial 1, partials above 16, notes
/// the chart calls poor.
[[nodiscard]] pitch::PitchPrior prior_for(const horn::Tuning& tuning);

} // namespace bellhand::trainer
