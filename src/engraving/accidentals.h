#pragma once

#include "engraving/score.h"

#include <optional>
#include <vector>

namespace bellhand::engraving {

/// What is printed beside every head, -2 to 2 sharps, 0 a natural; empty: nothing. An accidental holds for its line or
/// space to the end of the bar; a note tied over the bar line needs none; after another accidental on the same place in
/// the bar before, a reminder is printed (common practice).
[[nodiscard]] std::vector<std::optional<int>> printed_accidentals(const Score& score);

/// Sharps that a key of so many fifths puts on a letter: -1, 0 or 1.
[[nodiscard]] int in_key(char letter, int fifths) noexcept;

/// Staff steps (0 the bottom line) of the signs of a key signature, in order, in this clef.
[[nodiscard]] std::vector<int> key_steps(int fifths, Clef clef);

} // namespace bellhand::engraving
