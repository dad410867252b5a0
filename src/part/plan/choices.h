#pragma once

#include "horn/compass.h"
#include "horn/crook_chart.h"
#include "part/part.h"
#include "part/plan/pins.h"

#include <optional>
#include <span>
#include <vector>

namespace bellhand::part {

/// One way to play a note with the hand at one place: the ends of a range of the hand chart are two choices.
struct Choice {
    horn::HandWay way; ///< of the chart; `hand` and `hand_to` are both the hand of this choice
    double lips_cents = 0.0;
    int evenness = 5;  ///< as `horn::evenness_of`
    int quarters = 0;  ///< of the closing, 0 to 4; -1 with the hand drawn out
    bool usual = true; ///< the chart's first way
    int outside = 0;   ///< partials beyond those that parts for this crook usually ask for
};

/// The hand chart of one crook, made for choosing.
class ChoiceChart {
public:
    /// `response`: what the hand does to this crook at this pitch.
    ChoiceChart(const horn::Tuning& tuning, const horn::HandResponse& response);

    /// The choices for a written note, the usual first; none when no way reaches it. With a pin those that it allows,
    /// any hand inside a range included.
    [[nodiscard]] std::vector<Choice> choices(horn::Note written,
                                              const std::optional<PinnedHand>& pin) const;

private:
    [[nodiscard]] Choice
    choice(const horn::PlayedNote& note, std::size_t way, horn::Hand hand) const;

    horn::Compass compass_;
    horn::HandResponse response_;
    std::vector<horn::PlayedNote> notes_; ///< by number
};

} // namespace bellhand::part
