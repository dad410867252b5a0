#include "part/read/system_marks.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>

namespace bellhand::part {

namespace {

/// Beginnings of tempo words on parts of the eighteenth and nineteenth century (common practice, no source).
constexpr std::array<std::string_view, 36> kTempo{
    "alla ",    "aria",      "allegr",    "andant",    "adagio",    "larg",
    "lento",    "grave",     "presto",    "prestiss",  "moderato",  "vivace",
    "menuett",  "minuet",    "trio",      "scherzo",   "rondo",     "finale",
    "tempo",    "maestoso",  "marcia",    "siciliano", "polonaise", "un poco",
    "poco più", "poco meno", "più all",   "più mosso", "più lento", "più presto",
    "più vivo", "più moder", "meno moss", "langsam",   "un più",    "molto all"};

bool is_capital(char c) {
    return std::isupper(static_cast<unsigned char>(c)) != 0;
}

template <class Kind>
void take_words(Music& mine, const Music& first, const Kind& of_kind) {
    const auto fits = [&](const Words& words) { return of_kind(words.text); };
    if (std::any_of(mine.words.begin(), mine.words.end(), fits)) {
        return;
    }
    for (const Words& words : first.words) {
        if (fits(words)) {
            mine.words.push_back({words.at, words.text, std::nullopt});
        }
    }
    std::stable_sort(mine.words.begin(), mine.words.end(), [](const Words& a, const Words& b) {
        return a.at < b.at;
    });
}

void take_jumps(Music& mine, const Music& first) {
    for (bool Signs::*const kind : {&Signs::segno,
                                    &Signs::coda,
                                    &Signs::to_coda,
                                    &Signs::da_capo,
                                    &Signs::dal_segno,
                                    &Signs::fine}) {
        const bool own = std::any_of(
            mine.bars.begin(), mine.bars.end(), [kind](const Bar& bar) { return bar.signs.*kind; });
        for (std::size_t i = 0; !own && i < mine.bars.size(); ++i) {
            mine.bars[i].signs.*kind = first.bars[i].signs.*kind;
        }
    }
    for (const Jump jump : {Jump::to_coda, Jump::fine, Jump::da_capo, Jump::dal_segno}) {
        take_words(
            mine, first, [jump](const std::string& words) { return jump_of(words) == jump; });
    }
}

} // namespace

bool is_tempo(const std::string& words) {
    std::string low(words);
    std::transform(low.begin(), low.end(), low.begin(), [](unsigned char c) {
        return static_cast<char>(std::tolower(c));
    });
    return !words.empty() && is_capital(words.front()) &&
           std::any_of(kTempo.begin(), kTempo.end(), [&low](std::string_view beginning) {
               return low.compare(0, beginning.size(), beginning) == 0;
           });
}

Jump jump_of(const std::string& words) {
    std::string letters;
    for (const char c : words) {
        if (std::isalpha(static_cast<unsigned char>(c)) != 0) {
            letters += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        }
    }
    const auto begins = [&letters](std::string_view with) { return letters.rfind(with, 0) == 0; };
    if (letters == "dc" || begins("dcal") || begins("dacapo")) {
        return Jump::da_capo;
    }
    if (letters == "ds" || begins("dsal") || begins("dalsegno")) {
        return Jump::dal_segno;
    }
    if (letters == "fine") {
        return Jump::fine;
    }
    return letters == "tocoda" ? Jump::to_coda : Jump::none;
}

bool is_rehearsal_mark(const std::string& words) {
    const bool doubled = words.size() == 2 && words[0] == words[1];
    return (words.size() == 1 || doubled) && is_capital(words.front());
}

void take_system_marks(Music& mine, const Music& first) {
    if (mine.bars.size() != first.bars.size()) {
        return;
    }
    if (mine.tempos.empty()) {
        mine.tempos = first.tempos;
        mine.metronomes = first.metronomes;
    }
    take_words(mine, first, is_tempo);
    take_words(mine, first, is_rehearsal_mark);
    take_jumps(mine, first);
}

} // namespace bellhand::part
