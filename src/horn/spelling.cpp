#include "horn/spelling.h"

#include <array>
#include <cctype>
#include <utility>

namespace bellhand::horn {

namespace {

constexpr std::string_view kFlatSign = "♭";

bool is_gap(char c) {
    return c == ' ' || c == '-' || c == '_' || c == '\t';
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && is_gap(text.front())) {
        text.remove_prefix(1);
    }
    while (!text.empty() && is_gap(text.back())) {
        text.remove_suffix(1);
    }
    return text;
}

} // namespace

int steps_above_c(char letter) noexcept {
    switch (letter) {
    case 'D':
        return 2;
    case 'E':
        return 4;
    case 'F':
        return 5;
    case 'G':
        return 7;
    case 'A':
        return 9;
    case 'B':
        return 11;
    default:
        return 0;
    }
}

std::string plain_text(std::string_view text) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 3> kSigns{
        {{"♯", "#"}, {kFlatSign, "b"}, {"♮", ""}}};
    std::string plain;
    for (std::size_t at = 0; at < text.size();) {
        bool was_sign = false;
        for (const auto& [sign, ascii] : kSigns) {
            if (text.substr(at, sign.size()) == sign) {
                plain += ascii;
                at += sign.size();
                was_sign = true;
                break;
            }
        }
        if (!was_sign) {
            plain += static_cast<char>(std::tolower(static_cast<unsigned char>(text[at])));
            ++at;
        }
    }
    return std::string(trimmed(plain));
}

std::optional<SpelledLetter> take_letter(std::string_view text) {
    const std::string_view written = trimmed(text);
    const std::string plain = plain_text(text);
    // A lone ♭ turned into "b" is no letter B.
    if (written.empty() || written.front() == kFlatSign.front() || plain.empty() ||
        plain.front() < 'a' || plain.front() > 'g') {
        return std::nullopt;
    }
    SpelledLetter spelled;
    spelled.letter = static_cast<char>(std::toupper(static_cast<unsigned char>(plain.front())));
    std::string_view rest = std::string_view(plain).substr(1);

    constexpr std::array<std::pair<std::string_view, int>, 5> kWords{
        {{"#", 1}, {"sharp", 1}, {"flat", -1}, {"natural", 0}, {"b", -1}}};
    const std::string_view after_gap = trimmed(rest);
    for (const auto& [word, sharps] : kWords) {
        // "B basso" is no flat: a single b counts only where it touches the letter and no word goes on from it.
        const bool single_b = word == "b";
        const std::string_view where = single_b || word == "#" ? rest : after_gap;
        if (where.substr(0, word.size()) != word) {
            continue;
        }
        const std::string_view next = where.substr(word.size());
        if (single_b && next.substr(0, 4) == "asso") {
            continue;
        }
        spelled.sharps = sharps;
        rest = next;
        break;
    }
    if (spelled.sharps != 0 && !rest.empty() && (rest.front() == '#' || rest.front() == 'b') &&
        rest.substr(0, 5) != "basso") {
        return std::nullopt;
    }
    spelled.rest = std::string(trimmed(rest));
    return spelled;
}

} // namespace bellhand::horn
