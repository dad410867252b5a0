#pragma once

#include "horn/note.h"

#include <array>
#include <string>

namespace bellhand::terminal {

inline constexpr int kBigRows = 6;

/// The note's name in letters of `kBigRows` rows, readable from where a player stands: "B♭4". `block` fills a cell.
[[nodiscard]] std::array<std::string, kBigRows> big_note(horn::Note note, const char* block);

} // namespace bellhand::terminal
