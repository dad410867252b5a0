#pragma once

#include "engraving/score.h"
#include "part/music.h"

#include <vector>

namespace bellhand::part {

/// Words, dynamics and signs that are printed over and under a bar of the music, as texts of bar `printed_bar`. An empty
/// bar keeps no dynamics.
[[nodiscard]] std::vector<engraving::Text>
texts_of(const Music& music, int bar, int printed_bar, bool empty);

/// "D.C.", "Fine" and the like, at the end of their bar, where no words there (`said`) say it already.
[[nodiscard]] std::vector<engraving::Text>
ends_of(const Signs& signs, int printed_bar, const std::vector<engraving::Text>& said);

/// Whether words are the tempo ("Allegro vivace"), how to play ("dolce", which stands below), or anything else.
[[nodiscard]] engraving::TextKind kind_of_words(const std::string& words);

} // namespace bellhand::part
