#pragma once

#include "part/music.h"

#include <vector>

namespace bellhand::part {

/// How many players share the staff: 2 when notes sound together, in two voices or in one.
[[nodiscard]] int players_of(const Music& music);

/// True for every note that this player (1 upper, 2 lower) is to play: by voice where a bar has two, else the upper or
/// the lower note of two; a single head is for both. Rests and cues are nobody's.
[[nodiscard]] std::vector<bool> notes_of_player(const Music& music, int player);

} // namespace bellhand::part
