#include "part/read/word_list.h"

#include <array>
#include <utility>

namespace bellhand::part {

namespace {

struct Folding {
    std::string_view from;
    std::string_view to;
    bool capital = false;
};

// U+E260 to U+E262 are the accidentals of SMuFL, which notation programs put into text.
constexpr std::array kFoldings{
    Folding{"♭", "\1"},
    Folding{"♯", "\2"},
    Folding{"♮", "\3"},
    Folding{"\xEE\x89\xA0", "\1"},
    Folding{"\xEE\x89\xA1", "\3"},
    Folding{"\xEE\x89\xA2", "\2"},
    Folding{"é", "e"},
    Folding{"è", "e"},
    Folding{"ê", "e"},
    Folding{"É", "e", true},
    Folding{"È", "e", true},
    Folding{"à", "a"},
    Folding{"À", "a", true},
    Folding{"ä", "a"},
    Folding{"Ä", "a", true},
    Folding{"ö", "o"},
    Folding{"Ö", "o", true},
    Folding{"ü", "u"},
    Folding{"Ü", "u", true},
    Folding{"ì", "i"},
    Folding{"í", "i"},
    Folding{"ò", "o"},
    Folding{"ù", "u"},
    Folding{"ß", "ss"},
    Folding{"\xCC\x81", ""},
    Folding{"\xCC\x88", ""}, // combining accents after a plain letter
    Folding{"\xCC\x80", ""},
};

bool is_letter_or_digit(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
}

} // namespace

std::vector<Word> words_of(std::string_view text) {
    std::vector<Word> words;
    bool open = false;
    const auto take = [&](std::string_view folded, bool capital) {
        if (!open) {
            words.push_back({"", capital});
            open = true;
        }
        words.back().folded += folded;
    };
    for (std::size_t at = 0; at < text.size();) {
        const char c = text[at];
        const bool capital = c >= 'A' && c <= 'Z';
        const char small = capital ? static_cast<char>(c - 'A' + 'a') : c;
        if (is_letter_or_digit(small)) {
            take(std::string_view(&small, 1), capital);
            ++at;
            continue;
        }
        if (c == '#') {
            take(std::string_view(&kSharp, 1), false);
            ++at;
            continue;
        }
        const Folding* found = nullptr;
        for (const Folding& folding : kFoldings) {
            if (text.substr(at, folding.from.size()) == folding.from) {
                found = &folding;
                break;
            }
        }
        if (found == nullptr) {
            open = false;
            ++at;
            continue;
        }
        if (!found->to.empty()) {
            take(found->to, found->capital);
        }
        at += found->from.size();
    }
    return words;
}

} // namespace bellhand::part
