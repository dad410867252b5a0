#pragma once

#include "core/result.h"
#include "horn/hand_chart.h"

#include <optional>
#include <string>
#include <string_view>

namespace bellhand::part {

/// A hand, and perhaps a partial, that a note is to be played with.
struct PinnedHand {
    horn::Hand hand = horn::Hand::open;
    std::optional<int> partial;
};

/// A pin on one note of a part.
struct Pin {
    std::string bar; ///< number of the bar as printed
    int in_bar = 1;  ///< number of the note in its bar
    PinnedHand hand;
};

/// Reads "12.3=½" or "12.3=p12+": bar, note in the bar, then the hand as a sign (o ¼ ½ ¾ +), as "1/2", or as its name.
/// Errors (usage): a sentence that shows what a pin looks like.
[[nodiscard]] Result<Pin> parse_pin(std::string_view text);

} // namespace bellhand::part
