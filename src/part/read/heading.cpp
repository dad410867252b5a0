#include "part/read/heading.h"

#include "part/read/word_list.h"

#include <algorithm>
#include <array>
#include <span>

namespace bellhand::part {

namespace {

using WordSpan = std::span<const Word>;

template <std::size_t N>
bool among(std::string_view word, const std::array<std::string_view, N>& list) {
    return std::find(list.begin(), list.end(), word) != list.end();
}

constexpr std::array<std::string_view, 19> kHornWords{"horn",
                                                      "horns",
                                                      "horner",
                                                      "hornern",
                                                      "waldhorn",
                                                      "waldhorner",
                                                      "naturhorn",
                                                      "corno",
                                                      "corni",
                                                      "cor",
                                                      "cors",
                                                      "ventilhorn",
                                                      "jagdhorn",
                                                      "hn",
                                                      "hns",
                                                      "hrn",
                                                      "inventionshorn",
                                                      "naturhorner",
                                                      "hr"};
// A horn word beside one of these is another instrument.
constexpr std::array<std::string_view, 16> kOtherHorns{"english",
                                                       "englisch",
                                                       "englisches",
                                                       "inglese",
                                                       "inglesi",
                                                       "anglais",
                                                       "basset",
                                                       "bassetto",
                                                       "bassett",
                                                       "tenor",
                                                       "baritone",
                                                       "flugel",
                                                       "post",
                                                       "postiglione",
                                                       "alp",
                                                       "shofar"};
constexpr std::array<std::string_view, 9> kAlto{
    "alto", "alti", "acuto", "acuti", "hoch", "hohem", "hohen", "high", "aigu"};
constexpr std::array<std::string_view, 10> kBasso{
    "basso", "bassi", "grave", "gravi", "tief", "tiefem", "tiefen", "low", "graves", "bas"};
constexpr std::array<std::string_view, 2> kIn{"in", "en"};
constexpr std::array<std::string_view, 19> kChange{"muta",
                                                   "mutano",
                                                   "mutate",
                                                   "wechselt",
                                                   "wechseln",
                                                   "nimmt",
                                                   "nehmen",
                                                   "changez",
                                                   "prenez",
                                                   "change",
                                                   "changes",
                                                   "take",
                                                   "takes",
                                                   "cambia",
                                                   "cambiano",
                                                   "umstimmen",
                                                   "prendere",
                                                   "prende",
                                                   "prendre"};
constexpr std::array<std::string_view, 3> kCrook{"crook", "bogen", "ritorto"};
// WordSpan after which a bare B is B flat: German, and Italian.
constexpr std::array<std::string_view, 22> kGermanOrItalian{
    "horner",     "hornern",        "waldhorn", "waldhorner", "naturhorn", "naturhorner",
    "ventilhorn", "inventionshorn", "jagdhorn", "hoch",       "hohem",     "hohen",
    "tief",       "tiefem",         "tiefen",   "wechselt",   "wechseln",  "nimmt",
    "nehmen",     "corno",          "corni",    "muta"};
constexpr std::array<std::string_view, 6> kItalianToo{
    "mutano", "alto", "basso", "acuto", "grave", "bassi"};

bool is_number(std::string_view word) {
    constexpr std::array<std::string_view, 8> kRoman{
        "i", "ii", "iii", "iv", "v", "vi", "vii", "viii"};
    return among(word, kRoman) ||
           std::all_of(word.begin(), word.end(), [](char c) { return c >= '0' && c <= '9'; });
}

struct Named {
    std::string_view name;
    int step;
};

constexpr std::array kGerman{Named{"des", 1},
                             Named{"cis", 1},
                             Named{"es", 3},
                             Named{"dis", 3},
                             Named{"fis", 6},
                             Named{"ges", 6},
                             Named{"as", 8},
                             Named{"gis", 8},
                             Named{"ces", 11}};
constexpr std::array kLatin{Named{"do", 0},
                            Named{"ut", 0},
                            Named{"re", 2},
                            Named{"mi", 4},
                            Named{"fa", 5},
                            Named{"sol", 7},
                            Named{"la", 9},
                            Named{"si", 11}};
constexpr std::array kOldNames{Named{"csolfaut", 0},
                               Named{"cesolfaut", 0},
                               Named{"dsolre", 2},
                               Named{"dlasolre", 2},
                               Named{"delasolre", 2},
                               Named{"desolre", 2},
                               Named{"elafa", 3},
                               Named{"elami", 4},
                               Named{"ffaut", 5},
                               Named{"effaut", 5},
                               Named{"gsolreut", 7},
                               Named{"gesolreut", 7},
                               Named{"alamire", 9},
                               Named{"bfa", 10},
                               Named{"befa", 10},
                               Named{"bmi", 11}};

template <std::size_t N>
std::optional<int> step_named(std::string_view word, const std::array<Named, N>& names) {
    for (const Named& named : names) {
        if (named.name == word) {
            return named.step;
        }
    }
    return std::nullopt;
}

struct FoundKey {
    KeyName key;
    std::size_t words = 1; ///< that it took
    bool letter = false;   ///< a single letter: read as a key only where one is expected
};

/// An accidental written as a word of its own or hung on the name; empty when it is none.
std::optional<int> sharps_of(std::string_view text) {
    constexpr std::array<std::string_view, 6> kFlats{"\1", "b", "flat", "bemolle", "bemol", "bem"};
    constexpr std::array<std::string_view, 4> kSharps{"\2", "sharp", "diesis", "diese"};
    constexpr std::array<std::string_view, 2> kNaturals{"\3", "natural"};
    if (among(text, kFlats)) {
        return -1;
    }
    if (among(text, kSharps)) {
        return 1;
    }
    return among(text, kNaturals) ? std::optional<int>(0) : std::nullopt;
}

FoundKey with_step(int step, std::size_t words, bool letter) {
    FoundKey found;
    found.key.step = (step + 12) % 12;
    found.words = words;
    found.letter = letter;
    return found;
}

/// A letter or a Latin syllable, with what follows it in the same word or as the next.
std::optional<FoundKey>
spelled_key(std::string_view name, int natural, WordSpan words, bool letter) {
    const std::string_view rest = std::string_view(words[0].folded).substr(name.size());
    if (!rest.empty()) {
        const auto sharps = sharps_of(rest);
        return sharps ? std::optional(with_step(natural + *sharps, 1, false)) : std::nullopt;
    }
    // A "b" by itself is a flat after a Latin syllable only: "si b", but not "in A, B".
    if (words.size() > 1 && (!letter || words[1].folded != "b")) {
        if (const auto sharps = sharps_of(words[1].folded)) {
            return with_step(natural + *sharps, 2, false);
        }
    }
    FoundKey plain = with_step(natural, 1, letter);
    plain.key.b_unsure = letter && name == "b";
    return plain;
}

std::optional<FoundKey> key_at(WordSpan words) {
    if (words.empty()) {
        return std::nullopt;
    }
    const std::string& word = words[0].folded;
    if (const auto old = step_named(word, kOldNames)) {
        return with_step(*old, 1, false);
    }
    if (const auto german = step_named(word, kGerman)) {
        FoundKey found = with_step(*german, 1, false);
        found.key.dis_unsure = word == "dis";
        return found;
    }
    if (word == "h") {
        return with_step(11, 1, true);
    }
    for (const Named& syllable : kLatin) {
        if (word.rfind(syllable.name, 0) == 0) {
            if (const auto found = spelled_key(syllable.name, syllable.step, words, false)) {
                return found;
            }
        }
    }
    constexpr std::array<int, 7> kNaturals{9, 11, 0, 2, 4, 5, 7}; // a to g
    if (!word.empty() && word.front() >= 'a' && word.front() <= 'g') {
        const int natural = kNaturals[static_cast<std::size_t>(word.front() - 'a')];
        return spelled_key(std::string_view(word).substr(0, 1), natural, words, true);
    }
    return std::nullopt;
}

bool is_octave(std::string_view word) {
    return among(word, kAlto) || among(word, kBasso);
}

/// Puts to the key what the other words say of its octave and language.
KeyName completed(KeyName key, WordSpan words, std::size_t at, std::size_t taken) {
    for (std::size_t i = at == 0 ? 0 : at - 1; i < words.size(); ++i) {
        if (i >= at && i < at + taken) {
            continue;
        }
        if (among(words[i].folded, kAlto) || words[i].folded == "aigus") {
            key.octave = Octave::alto;
        } else if (among(words[i].folded, kBasso)) {
            key.octave = Octave::basso;
        }
    }
    if (key.b_unsure && std::any_of(words.begin(), words.end(), [](const Word& word) {
            return among(word.folded, kGermanOrItalian) || among(word.folded, kItalianToo);
        })) {
        key.b_unsure = false;
        key.step = 10;
    }
    return key;
}

bool is_horn(std::string_view word) {
    return among(word, kHornWords);
}

/// After "in" or "en", an octave between them or not: "in Es", "in tiefem B".
std::optional<KeyName> key_after_in(WordSpan words) {
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        if (!among(words[i].folded, kIn)) {
            continue;
        }
        const std::size_t at = is_octave(words[i + 1].folded) ? i + 2 : i + 1;
        if (const auto found = key_at(words.subspan(std::min(at, words.size())))) {
            return completed(found->key, words, at, found->words);
        }
    }
    return std::nullopt;
}

/// True when the key at these words stands before the horn itself ("B♭ (alto) Horn") or, with a capital, after it
/// ("Corno Es", "Horn 1 (F)").
bool beside_horn(WordSpan words, std::size_t key, std::size_t taken) {
    std::size_t after = key + taken;
    while (after < words.size() && is_octave(words[after].folded)) {
        ++after;
    }
    if (after < words.size() && is_horn(words[after].folded)) {
        return true;
    }
    std::size_t before = key;
    while (before > 0 &&
           (is_number(words[before - 1].folded) || is_octave(words[before - 1].folded))) {
        --before;
    }
    return before > 0 && words[key].capital && is_horn(words[before - 1].folded);
}

std::optional<KeyName> key_in_heading(WordSpan words) {
    if (const auto key = key_after_in(words)) {
        return key;
    }
    for (std::size_t i = 0; i < words.size(); ++i) {
        const auto found = key_at(words.subspan(i));
        if (found && (!found->letter || words[i].capital) && beside_horn(words, i, found->words)) {
            return completed(found->key, words, i, found->words);
        }
    }
    return std::nullopt;
}

std::optional<KeyName> key_after_change(WordSpan words, std::size_t change) {
    std::optional<KeyName> last;
    for (std::size_t i = change + 1; i < words.size(); ++i) {
        const std::string& before = words[i - 1].folded;
        const auto found = key_at(words.subspan(i));
        const bool expected = among(before, kIn) || before == "nach" || before == "to" ||
                              before == "de" || is_octave(before);
        // Small letters are words: "take a breath", "prenez la sourdine".
        const bool named = words[i].capital || (expected && found && !found->letter);
        if (found && named && (expected || !last)) {
            last = completed(found->key, words, i, found->words);
            i += found->words - 1;
        }
    }
    return last;
}

/// "E♭ crook", "Es-Bogen" and nothing else.
std::optional<KeyName> key_of_crook(WordSpan words) {
    if (words.size() < 2 || !words[0].capital || !among(words.back().folded, kCrook)) {
        return std::nullopt;
    }
    const auto found = key_at(words);
    const bool whole =
        found &&
        found->words + (words.size() > 2 && is_octave(words[words.size() - 2].folded) ? 2U : 1U) ==
            words.size();
    return whole ? std::optional(completed(found->key, words, 0, found->words)) : std::nullopt;
}

/// "in E♭" and nothing else but octave, horn and players' numbers.
std::optional<KeyName> key_alone(WordSpan words) {
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        if (!among(words[i].folded, kIn)) {
            if (is_horn(words[i].folded) || is_number(words[i].folded)) {
                continue;
            }
            return std::nullopt;
        }
        const std::size_t at = is_octave(words[i + 1].folded) ? i + 2 : i + 1;
        const auto found = key_at(words.subspan(std::min(at, words.size())));
        if (!found) {
            return std::nullopt;
        }
        for (std::size_t rest = at + found->words; rest < words.size(); ++rest) {
            if (!is_octave(words[rest].folded)) {
                return std::nullopt;
            }
        }
        return completed(found->key, words, at, found->words);
    }
    return std::nullopt;
}

} // namespace

std::vector<horn::Crook> crooks_named(const KeyName& key) {
    std::vector<int> steps{key.step};
    if (key.b_unsure) {
        steps = {11, 10};
    } else if (key.dis_unsure) {
        steps = {3};
    }
    std::vector<horn::Crook> crooks;
    const auto all = horn::all_crooks();
    for (const bool basso : {false, true}) {
        for (const int step : steps) {
            // The family runs from C alto down; C and A flat to B exist an octave apart.
            const int upper = step == 0 ? 0 : 12 - step;
            const bool has_two = step == 0 || step >= 8;
            const bool wanted =
                key.octave == Octave::unsaid || !has_two || (key.octave == Octave::basso) == basso;
            if (wanted && (has_two || !basso)) {
                crooks.push_back(all[static_cast<std::size_t>(upper + (basso ? 12 : 0))]);
            }
        }
    }
    return crooks;
}

Heading read_heading(std::string_view text) {
    const std::vector<Word> list = words_of(text);
    const WordSpan words(list);
    Heading heading;
    const auto first_horn = std::find_if(
        words.begin(), words.end(), [](const Word& word) { return is_horn(word.folded); });
    if (first_horn == words.end()) {
        // "Es-Dur" and the like in other names mean nothing here.
        return heading;
    }
    const bool other = std::any_of(words.begin(), words.end(), [](const Word& word) {
        return among(word.folded, kOtherHorns);
    });
    // An alto horn is a valved instrument of bands; "B♭ alto horn" is a natural horn in B flat alto.
    const bool band = words.size() > 1 && words[0].folded == "alto" && is_horn(words[1].folded);
    if (other || band) {
        heading.other = true;
        return heading;
    }
    heading.horn = true;
    heading.key = key_in_heading(words);
    return heading;
}

CrookWords read_crook_words(std::string_view text) {
    constexpr std::size_t kLongest = 80; // a sentence of an editor is no instruction
    const std::vector<Word> list = words_of(text.substr(0, 4 * kLongest));
    const WordSpan words(list);
    const bool bracketed = text.find('[') != std::string_view::npos;
    CrookWords result;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (among(words[i].folded, kChange)) {
            if (const auto key = key_after_change(words, i)) {
                result = {bracketed ? CrookWords::Kind::remark : CrookWords::Kind::change, *key};
            }
            return result;
        }
    }
    if (const auto key = key_of_crook(words)) {
        return {bracketed ? CrookWords::Kind::remark : CrookWords::Kind::change, *key};
    }
    if (const auto key = key_alone(words)) {
        return {bracketed ? CrookWords::Kind::remark : CrookWords::Kind::in_key, *key};
    }
    if (bracketed) {
        for (std::size_t i = 0; i + 1 < words.size(); ++i) {
            if (among(words[i].folded, kIn)) {
                if (const auto found = key_at(words.subspan(i + 1))) {
                    return {CrookWords::Kind::remark,
                            completed(found->key, words, i + 1, found->words)};
                }
            }
        }
    }
    return result;
}

} // namespace bellhand::part
