#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace bellhand::part {

/// Flat, sharp and natural signs inside a folded word.
inline constexpr char kFlat = '\1';
inline constexpr char kSharp = '\2';
inline constexpr char kNatural = '\3';

/// One word of a heading.
struct Word {
    std::string folded;   ///< small letters without accents; signs as above
    bool capital = false; ///< it began with a capital
};

/// The words of a heading: letters of German, Italian, French and English lose their accents, everything that is
/// neither letter, digit nor sign parts words.
[[nodiscard]] std::vector<Word> words_of(std::string_view text);

} // namespace bellhand::part
