#pragma once

#include "part/music.h"

#include <string>
#include <vector>

namespace bellhand::part {

inline constexpr std::size_t kMostPlayedNotes = 20'000;

/// The bars of a part in the order in which they are played.
struct PlayOrder {
    std::vector<int> bars; ///< indices
    std::string doubt;     ///< a sentence when the repeats lead nowhere and all is played straight
};

/// Follows repeats, endings, D.C., D.S., coda and fine; after a D.C. or D.S. repeats are left out and the last endings
/// taken (common practice, no source).
[[nodiscard]] PlayOrder play_order(const Music& music);

} // namespace bellhand::part
