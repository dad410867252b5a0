#pragma once

#include "engraving/score.h"
#include "part/part.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::part {

/// What a bar of the music holds for one player's page.
struct PrintedBar {
    std::vector<std::size_t> heads; ///< his notes, or cues; indices into the notes of the music
    std::vector<std::size_t> rests; ///< everybody's
    bool words = false;
    std::optional<int> key_change; ///< what is printed anew
    std::optional<engraving::Metre> metre_change;
    engraving::Metre metre; ///< in force
    std::string crook_due;  ///< what is boxed here: the crook that is to be in the horn next
    int due_tick = 0;
};

/// All bars of a part. A change of crook is due where the rest before it begins, so that there is time for it. `cues`:
/// small notes of others stand where the player is silent.
[[nodiscard]] std::vector<PrintedBar> printed_bars(const Part& part, bool cues);

/// How many empty bars from `first` on can stand as one; 0 when this one is not empty.
[[nodiscard]] int empty_from(const std::vector<PrintedBar>& bars, const Music& music, int first);

[[nodiscard]] bool fermata_in(const Music& music, const PrintedBar& bar);

} // namespace bellhand::part
