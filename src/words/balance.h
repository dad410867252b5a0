#pragma once

#include "hand/balance.h"

#include <string>

namespace bellhand::words {

/// What one tone tells of horn and hand, a sentence; what to do where it tells nothing.
[[nodiscard]] std::string balance_words(const hand::Balance& balance);

/// One change of the hand: "−120 cents in 2.1 s", and what of it was heard beside the bend.
struct MoveWords {
    std::string bend;
    std::string jolt;
};
[[nodiscard]] MoveWords move_words(const hand::HandMove& move);

/// "1.2 cents where the hand stood, sinking by 0.4 cents a second".
[[nodiscard]] std::string still_words(const hand::Balance& balance);

/// What all of it rests on, and what it cannot tell.
[[nodiscard]] const char* balance_basis() noexcept;

} // namespace bellhand::words
