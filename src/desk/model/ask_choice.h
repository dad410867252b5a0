#pragma once

#include "desk/model/lesson.h"

#include <vector>

namespace bellhand::desk {

/// A note and a hand for it being chosen, from the notes that a horn has and the ways that they are played.
class AskChoice {
public:
    explicit AskChoice(const Asked& from);

    [[nodiscard]] const Asked& asked() const noexcept { return asked_; }
    /// A semitone of the chart up or down; the hand becomes the usual one of that note.
    void step_note(int step);
    /// The next way to lie the hand: those of the chart, then the other positions on the usual partial.
    void step_hand(int step);

private:
    Asked asked_;
};

} // namespace bellhand::desk
