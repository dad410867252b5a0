#include "horn/crook.h"

#include "horn/spelling.h"

#include <array>

namespace bellhand::horn {

namespace {

// Transpositions: trade practice as in Encyclopaedia Britannica, 11th ed. (1911), vol. 13, "Horn", table of crooks;
// A-flat basso as the lowest: Grove, Dictionary of Music and Musicians, 1st ed., "Crook" and "Horn".
constexpr std::array<Crook, 17> kCrooks{{
    {0, "C-alto", "C alto", "C4"},
    {-1, "B-alto", "B alto", "B3"},
    {-2, "Bb-alto", "B♭ alto", "Bb3"},
    {-3, "A", "A", "A3"},
    {-4, "Ab", "A♭", "Ab3"},
    {-5, "G", "G", "G3"},
    {-6, "F#", "F♯", "F#3"},
    {-7, "F", "F", "F3"},
    {-8, "E", "E", "E3"},
    {-9, "Eb", "E♭", "Eb3"},
    {-10, "D", "D", "D3"},
    {-11, "Db", "D♭", "Db3"},
    {-12, "C-basso", "C basso", "C3"},
    {-13, "B-basso", "B basso", "B2"},
    {-14, "Bb-basso", "B♭ basso", "Bb2"},
    {-15, "A-basso", "A basso", "A2"},
    {-16, "Ab-basso", "A♭ basso", "Ab2"},
}};

Result<Crook> unknown(std::string_view text) {
    std::string sentence =
        "There is no crook \"" + std::string(text.substr(0, 40)) + "\": choose one of";
    for (const Crook& crook : kCrooks) {
        sentence += (crook == kCrooks.front() ? " " : ", ") + std::string(crook.id);
    }
    return usage_error(sentence + ".");
}

} // namespace

std::span<const Crook> all_crooks() noexcept {
    return kCrooks;
}

Result<Crook> parse_crook(std::string_view text) {
    const auto spelled = take_letter(text);
    if (!spelled) {
        return unknown(text);
    }
    const bool alto = spelled->rest == "alto";
    const bool basso = spelled->rest == "basso";
    if (!alto && !basso && !spelled->rest.empty()) {
        return unknown(text);
    }
    // The family runs from C down: 0 for C, -1 for B, ... -11 for D flat; basso lies an octave below.
    const int upper = (steps_above_c(spelled->letter) + spelled->sharps + 12) % 12;
    const int transposition = (upper == 0 ? 0 : upper - 12) - (basso ? 12 : 0);
    const bool has_two = upper == 0 || upper >= 8; // C, and A flat to B, exist an octave apart
    const bool must_ask = upper == 0 || upper >= 10;
    if (must_ask && !alto && !basso) {
        const Crook& high = kCrooks[static_cast<std::size_t>(-transposition)];
        const Crook& low = kCrooks[static_cast<std::size_t>(-transposition + 12)];
        const std::string key(high.label, std::string_view(high.label).find(' '));
        return usage_error("A crook in " + key + " can be alto or basso, an octave apart: is it " +
                           high.id + " or " + low.id + "?");
    }
    if ((alto || basso) && !has_two) {
        return unknown(text);
    }
    return kCrooks[static_cast<std::size_t>(-transposition)];
}

} // namespace bellhand::horn
