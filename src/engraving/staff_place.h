#pragma once

#include "horn/note.h"

namespace bellhand::engraving {

enum class Clef { treble, bass };

/// Where a written note stands on a five-line staff.
struct StaffPlace {
    Clef clef = Clef::treble;
    int step = 0;          ///< in half staff spaces from the bottom line (0) upwards
    int ledgers_above = 0; ///< ledger lines needed over the staff
    int ledgers_below = 0; ///< and under it
};

/// Treble clef down to written G3, bass clef (new notation, same octave) below.
[[nodiscard]] StaffPlace staff_place(horn::Note note) noexcept;
/// The same with the clef that is wanted.
[[nodiscard]] StaffPlace staff_place(horn::Note note, Clef clef) noexcept;

/// The staff step of a head as it is printed, under a clef with or without a little figure eight.
[[nodiscard]] int head_step(const horn::StaffName& head, Clef clef, int clef_octaves = 0) noexcept;

/// A natural sign is due when the note before stands in the same place with an accidental that this one has not.
[[nodiscard]] bool needs_natural(horn::Note before, horn::Note note) noexcept;

} // namespace bellhand::engraving
