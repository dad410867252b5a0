#pragma once

#include "horn/note.h"
#include "horn/tuning.h"

#include <vector>

namespace bellhand::desk {

/// One natural note of the crook.
struct Rung {
    int partial = 1;
    double cents = 0.0;              ///< above partial 1
    horn::Note written;              ///< nearest written note
    double from_written_cents = 0.0; ///< how far the natural note lies from it
};

/// The tube's own harmonic series.
[[nodiscard]] std::vector<Rung>
ladder(const horn::Tuning& tuning, int lowest_partial, int highest_partial);

/// Where a sounding pitch stands on the ladder.
struct LadderPlace {
    double cents = 0.0;             ///< above partial 1
    int partial_below = 0;          ///< 0: under the first
    double above_lower_cents = 0.0; ///< from the rung below up to the sound
    double below_upper_cents = 0.0; ///< from the sound up to the next rung
};
[[nodiscard]] LadderPlace place_on_ladder(double f0_hz, const horn::Tuning& tuning) noexcept;

} // namespace bellhand::desk
