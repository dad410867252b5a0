#pragma once

#include "horn/compass.h"
#include "horn/crook_chart.h"
#include "horn/scale.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace bellhand::horn {

/// How a passage lies on one crook.
struct CrookAdvice {
    Crook crook{};
    Compass compass{};
    bool rare = false;
    bool usual_for_key = false;
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
/// an unplayable one; a rare crook costs 0.25, the usual one for the key of the piece (sounding) half a step less. The
/// weights are common practice, no source. Empty for no notes.
[[nodiscard]] std::vector<CrookAdvice> advise(std::span<const int> sounding_numbers,
                                              const std::optional<Scale>& sounding_key = {});

/// Crooks that orchestral parts in a sounding key usually ask for: the key's own in major (B flat alto or basso, C
/// basso), the relative major and the key's own in minor. Common practice, no source; from memory for the minor keys.
[[nodiscard]] bool is_usual_for(const Crook& crook, const Scale& sounding_key) noexcept;

} // namespace bellhand::horn
