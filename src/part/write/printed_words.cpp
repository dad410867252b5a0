#include "part/write/printed_words.h"

#include "part/read/system_marks.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>

namespace bellhand::part {

namespace {

using engraving::TextKind;

std::string lowered(std::string_view words) {
    std::string low(words);
    std::transform(low.begin(), low.end(), low.begin(), [](unsigned char c) {
        return static_cast<char>(std::tolower(c));
    });
    return low;
}

constexpr std::array<std::string_view, 24> kExpression{
    "dolce",   "cresc",  "decresc", "dim",     "espr",    "legato", "stacc", "marc",
    "ten",     "cantab", "sempre",  "leggier", "pesante", "sotto",  "mezza", "morendo",
    "calando", "smorz",  "poco f",  "poco p",  "più f",   "più p",  "sf",    "con "};

template <std::size_t N>
bool begins_with_any(std::string_view words, const std::array<std::string_view, N>& beginnings) {
    return std::any_of(beginnings.begin(), beginnings.end(), [words](std::string_view beginning) {
        return words.substr(0, beginning.size()) == beginning;
    });
}

} // namespace

TextKind kind_of_words(const std::string& words) {
    const std::string low = lowered(words);
    if (begins_with_any(low, kExpression)) {
        return TextKind::expression;
    }
    if (is_tempo(words)) {
        return TextKind::tempo;
    }
    if (jump_of(words) != Jump::none) {
        return TextKind::navigation;
    }
    return is_rehearsal_mark(words) ? TextKind::rehearsal : TextKind::words;
}

std::vector<engraving::Text> texts_of(const Music& music, int bar, int printed_bar, bool empty) {
    std::vector<engraving::Text> texts;
    const auto add = [&](int tick, TextKind kind, const std::string& words) {
        const engraving::Text text{printed_bar, tick, kind, words};
        const bool there =
            std::any_of(texts.begin(), texts.end(), [&text](const engraving::Text& other) {
                return other.tick == text.tick && other.kind == text.kind &&
                       other.words == text.words;
            });
        if (!there) { // two voices may say the same
            texts.push_back(text);
        }
    };
    const auto of_bar = [](const auto& one, int wanted) { return one.at.bar < wanted; };
    const auto each = [&](const auto& all, const auto& take) {
        for (auto it = std::lower_bound(all.begin(), all.end(), bar, of_bar);
             it != all.end() && it->at.bar == bar;
             ++it) {
            take(*it);
        }
    };
    const Signs& signs = music.bars[static_cast<std::size_t>(bar)].signs;
    if (signs.segno) {
        add(0, TextKind::segno, "segno");
    }
    if (signs.coda) {
        add(0, TextKind::coda, "coda");
    }
    each(music.words, [&](const Words& words) {
        const TextKind kind = kind_of_words(words.text);
        if (!empty || kind != TextKind::expression) {
            add(words.at.tick, kind, words.text);
        }
    });
    each(music.metronomes, [&](const MetronomeMark& mark) {
        engraving::Text alone{printed_bar, mark.at.tick, TextKind::tempo, ""};
        const auto tempo = std::find_if(texts.begin(), texts.end(), [&](const auto& text) {
            return text.kind == TextKind::tempo && text.tick == mark.at.tick;
        });
        engraving::Text& text = tempo != texts.end() ? *tempo : alone;
        text.beat = engraving::Value{mark.beat.halvings, mark.beat.dots, 1, 1};
        text.per_minute = mark.per_minute;
        if (tempo == texts.end()) {
            texts.push_back(alone);
        }
    });
    if (!empty) {
        each(music.dynamics,
             [&](const DynamicMark& mark) { add(mark.at.tick, TextKind::dynamic, mark.text); });
    }
    return texts;
}

std::vector<engraving::Text>
ends_of(const Signs& signs, int printed_bar, const std::vector<engraving::Text>& said) {
    std::vector<engraving::Text> texts;
    const auto add = [&](bool holds, Jump jump, const char* words) {
        const bool in_words =
            std::any_of(said.begin(), said.end(), [jump](const engraving::Text& text) {
                return jump_of(text.words) == jump;
            });
        if (holds && !in_words) {
            texts.push_back({printed_bar, 0, TextKind::navigation, words});
        }
    };
    add(signs.to_coda, Jump::to_coda, "To Coda");
    add(signs.fine, Jump::fine, "Fine");
    add(signs.da_capo, Jump::da_capo, "D.C.");
    add(signs.dal_segno, Jump::dal_segno, "D.S.");
    return texts;
}

} // namespace bellhand::part
