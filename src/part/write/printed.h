#pragma once

#include "engraving/score.h"
#include "part/part.h"
#include "part/plan/plan.h"

#include <string>
#include <vector>

namespace bellhand::part {

struct PrintOptions {
    std::string title;     ///< of the score
    bool partials = false; ///< the number of the partial over every hand sign
};

/// A part ready for the page, and how the page names its bars.
struct PrintedPart {
    engraving::Score score;
    std::vector<int>
        bar_of; ///< of every bar of the score: index into the bars of the music, of several rests the first
};

/// One player's part as it is played from: his notes with the rests between, hand signs of the plan over every note that
/// is struck, empty bars counted together, a box where another crook is due (at the rest before it, if there is one).
/// Where the file is not written for the horn in hand (sounding notes, another crook), the notes stand as this horn
/// reads them, in the treble clef. `step` of an event is the attack it belongs to, `kNoAttack` for rests.
[[nodiscard]] PrintedPart
printed_part(const Part& part, const Plan& plan, const PrintOptions& options = {});

inline constexpr std::size_t kNoAttack = static_cast<std::size_t>(-1);

} // namespace bellhand::part
