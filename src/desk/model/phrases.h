#pragma once

#include "horn/hand_chart.h"
#include "horn/note.h"

#include <string>

namespace bellhand::desk {

/// A deviation as a player says it: "12 low", "3 high", "on pitch" (nearer than half a cent).
[[nodiscard]] std::string deviation_words(double cents);

/// "+3", "−12", "0" (with a real minus sign).
[[nodiscard]] std::string signed_cents(double cents);

/// "st", "nd", "rd" or "th": what makes an ordinal of the number.
[[nodiscard]] const char* ordinal_ending(int number) noexcept;

/// "1st", "2nd", "3rd", "12th".
[[nodiscard]] std::string ordinal(int number);

/// What is done to the natural note to reach the written one: "as it is", "86 down by hand", "31 up".
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
