#pragma once

#include "desk/press.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// What a key does on this screen, for its foot; a click does the same.
struct KeyHint {
    std::string key;
    std::string words;
    Press press;
};

/// A hint for a named key, or for a letter (its key cap shows the capital).
[[nodiscard]] KeyHint hint(Key key, std::string words);
[[nodiscard]] KeyHint hint(char letter, std::string words);

/// True when the press is this letter, small or capital.
[[nodiscard]] bool is_letter(const Press& press, char letter) noexcept;

/// Where the choice goes in a list of `count` rows: up, down, home and end move it. False: not such a key.
bool move_choice(const Press& press, int count, int& chosen) noexcept;

} // namespace bellhand::desk
