#pragma once

#include "core/result.h"

#include <span>
#include <string>
#include <string_view>

namespace bellhand::horn {

/// One crook of the chromatic family from C alto (0) down to A-flat basso (-16).
struct Crook {
    int transposition = -7;         ///< semitones from written to sounding note, 0 .. -16
    const char* id = "F";           ///< "C-alto", "Bb-alto", "F", "Bb-basso": options and files
    const char* label = "F";        ///< "B♭ alto": for people
    const char* sounding_c4 = "F3"; ///< what written C4 sounds, as ASCII note name

    friend bool operator==(const Crook& a, const Crook& b) noexcept {
        return a.transposition == b.transposition;
    }
};

/// All 17, from C alto down.
[[nodiscard]] std::span<const Crook> all_crooks() noexcept;

/// Reads "F", "Eb", "E♭", "bb alto", "Bb-basso", "F#", "Gb", "D♭", "C basso", any case. Errors (usage): unknown, or
/// "C", "B", "B♭", "A♭" and "A" where the part must say alto or basso: the sentence asks which ("A" and "A♭" mean the
/// upper crook, the usual one, unless basso is written; "C", "B" and "B♭" are never guessed).
[[nodiscard]] Result<Crook> parse_crook(std::string_view text);

} // namespace bellhand::horn
