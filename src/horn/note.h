#pragma once

#include "core/result.h"

#include <string>
#include <string_view>

namespace bellhand::horn {

/// A written note: its number on the chromatic ladder (C4 = 60, written middle C = partial 4) and how it is spelled.
struct Note {
    int number = 60;
    int sharps = 0; ///< spelling: -1 flat, 0 natural, +1 sharp

    /// Same pitch and same spelling. D♭ and C♯ differ here; compare `number` where only the pitch counts.
    friend bool operator==(const Note&, const Note&) = default;
};

/// The usual spelling on a horn part: C C# D Eb E F F# G Ab A Bb B.
[[nodiscard]] Note usual_spelling(int number) noexcept;

/// Letter 'A' to 'G' and octave of a note as it is spelled: C♭4 (which sounds B3) has letter C and octave 4.
struct StaffName {
    char letter = 'C';
    int octave = 4;
    int sharps = 0;
};

/// A spelling that no letter fits (number 61 "natural") falls back on the usual one.
[[nodiscard]] StaffName staff_name(Note note) noexcept;

/// "C4", "F#4", "Bb3": letters that every terminal, file and option understands.
[[nodiscard]] std::string ascii_name(Note note);

/// The same with real accidentals, "B♭3" (UTF-8), for people.
[[nodiscard]] std::string display_name(Note note);

/// Reads "C4", "f#4", "Bb3", "B♭3", "E♯4", "b flat 3", "F-sharp-4", octaves 0 to 9. Errors (usage): one sentence that
/// shows what a note looks like.
[[nodiscard]] Result<Note> parse_note(std::string_view text);

} // namespace bellhand::horn
