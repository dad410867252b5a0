#pragma once

#include "horn/compass.h"
#include "horn/crook_chart.h"

#include <span>
#include <string>
#include <vector>

namespace bellhand::horn {

/// How a passage lies on one crook.
struct CrookAdvice {
    Crook crook{};
    Compass compass{};
    bool rare = false;
    int open = 0;
    int covered = 0;
    int stopped = 0;
    int lipped = 0;
    int outside_compass = 0; ///< playable, but beyond the partials usually asked of this crook
    int unplayable = 0;      ///< not in the hand chart at all
    Note lowest{};           ///< written for this crook
    Note highest{};
    double mean_evenness = 0.0; ///< of the playable notes, scale of `evenness_of`
    double cost = 0.0;          ///< what the ranking sorts by; see `advise`
    std::string why;            ///< one sentence
};

/// All crooks for a passage given as sounding numbers (A4 = 69), best first; repeated notes count as often as they come.
/// The cost is the mean over the notes of (5 - evenness), 3 more for a note outside the crook's usual compass and 20 for
/// an unplayable one; a rare crook costs 0.25. The weights are common practice, no source. Empty for no notes.
[[nodiscard]] std::vector<CrookAdvice> advise(std::span<const int> sounding_numbers);

} // namespace bellhand::horn
