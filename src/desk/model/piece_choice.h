#pragma once

#include "instrument/planner/assembly.h"

#include <string>

namespace bellhand::desk {

// The pieces of a box in one row, to choose from: crooks first, then couplers, then bits.

[[nodiscard]] int pieces_of(const instrument::HornLengths& horn) noexcept;
/// `index` 0 to `pieces_of` - 1.
[[nodiscard]] const instrument::HornPiece& piece_at(const instrument::HornLengths& horn,
                                                    int index) noexcept;
[[nodiscard]] bool
mounted_at(const instrument::HornLengths& horn, const instrument::Stack& stack, int index) noexcept;
/// The stack with that piece put on or taken off; a crook takes the place of the one that is on. It may be one that does not
/// fit.
[[nodiscard]] instrument::Stack
toggled(const instrument::HornLengths& horn, instrument::Stack stack, int index) noexcept;
/// What to do about a stack that does not fit, in a sentence.
[[nodiscard]] std::string why_it_does_not_fit(const instrument::HornLengths& horn,
                                              const instrument::Stack& stack);

/// '1' for the first of ten, '0' for the tenth.
[[nodiscard]] constexpr char digit_of_piece(int index) noexcept {
    return static_cast<char>('0' + (index + 1) % 10);
}

} // namespace bellhand::desk
