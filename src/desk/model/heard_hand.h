#pragma once

#include "hand/hand_ear.h"
#include "trainer/note_tracker.h"
#include "trainer/reading.h"

#include <optional>

namespace bellhand::desk {

/// What a display shows of the hand: a range, never a point.
struct ShownHand {
    hand::HandEstimate estimate; ///< low, high, closure and confidence are smoothed for the eye
    hand::Intent asked;    ///< what the note calls for; partial 0 when the chart does not know it
    bool sounding = false; ///< false: the note has ended, and stays until the next
};

/// Decides what is shown of the hand: the range that the sound allows, calmed so that it can be read, and at the end of a
/// note what the note as a whole has betrayed. No allocation.
class HeardHand {
public:
    void add(const trainer::Reading& reading) noexcept;
    void ended(const trainer::PlayedNote& note) noexcept;
    /// No readings come any more: what is shown no longer sounds.
    void fall_silent() noexcept;
    void clear() noexcept { shown_.reset(); }

    [[nodiscard]] const std::optional<ShownHand>& shown() const noexcept { return shown_; }

private:
    std::optional<ShownHand> shown_;
    horn::Note written_;
    double began_s_ = 0.0;      ///< the written note now read
    double last_heard_s_ = 0.0; ///< with a position
};

/// What the usual way of a written note asks of the hand; partial 0 when the chart does not know the note.
[[nodiscard]] hand::Intent asked_of(horn::Note written) noexcept;

} // namespace bellhand::desk
