#pragma once

#include "horn/note.h"

namespace bellhand::gui {

enum class Clef { treble, bass };

/// Where a written note stands on a five-line staff.
struct StaffPlace {
    Clef clef = Clef::treble;
    int step = 0;          ///< in half staff spaces from the bottom line (0) upwards
    int ledgers_above = 0; ///< ledger lines needed over the staff
    int ledgers_below = 0; ///< and under it
};

/// Treble clef down to written F3, bass clef (new notation, same octave) below.
[[nodiscard]] StaffPlace staff_place(horn::Note note) noexcept;

} // namespace bellhand::gui
