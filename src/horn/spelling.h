#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace bellhand::horn {

/// A letter with its accidental, and the text that followed it.
struct SpelledLetter {
    char letter = 'C'; ///< 'A' to 'G'
    int sharps = 0;    ///< -1, 0 or +1
    std::string rest;  ///< lower case, without surrounding blanks or hyphens
};

/// Chromatic steps of a natural letter above C, 0 to 11.
[[nodiscard]] int steps_above_c(char letter) noexcept;

/// Lower-case ASCII copy in which ♯ ♭ ♮ became "#", "b" and nothing, and blanks, hyphens and underscores at both ends
/// are gone.
[[nodiscard]] std::string plain_text(std::string_view text);

/// Takes "B♭ alto", "bb-alto", "b flat 3", "F#4" apart. A "b" after the letter is a flat. Empty when the text does not
/// begin with a letter from A to G or carries a double accidental.
[[nodiscard]] std::optional<SpelledLetter> take_letter(std::string_view text);

} // namespace bellhand::horn
