#pragma once

#include "horn/hand_chart.h"
#include "horn/note.h"

#include <string>

namespace bellhand::desk {

/// "+3", "−12", "0" (with a real minus sign).
[[nodiscard]] std::string signed_cents(double cents);

/// "±18": how far off the pitch of a short note may be.
[[nodiscard]] std::string within_cents(double cents);

/// What is done to the natural note to reach the written one: "as it is", "86 cents lower", "31 cents higher".
[[nodiscard]] std::string bend_words(horn::Note written);

/// "440", "440.5": no more digits than needed.
[[nodiscard]] std::string hertz_text(double hz);

/// The letter of the written note, "F".
[[nodiscard]] std::string note_letter(horn::Note note);

/// How the hand lies for a note of the chart, in words: "open", "half", "¾ to full stop", "open, drawn back". Empty
/// when the chart does not know the note.
[[nodiscard]] std::string hand_words(horn::Note written);

/// The same for one way of the chart, also with what the lips do: "half, lipped".
[[nodiscard]] std::string way_words(const horn::HandWay& way);

/// The signs of the same: "o", "½", "¾ +".
[[nodiscard]] std::string hand_signs(horn::Note written);

} // namespace bellhand::desk
