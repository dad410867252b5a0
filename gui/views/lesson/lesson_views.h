#pragma once

#include "desk/desk.h"
#include "gui/canvas.h"

namespace bellhand::gui {

/// "F4" in the roman of printed music, the octave smaller and lower.
void draw_note_with_octave(
    const Canvas& canvas, horn::Note note, float cap_px, float x, float baseline, Colour ink);
[[nodiscard]] float note_with_octave_width(const Canvas& canvas, horn::Note note, float cap_px);

/// The notes played last, newest at the right, each with what was asked of the hand, what was heard, and its cents.
void draw_lesson_strip(const Canvas& canvas, const desk::Lesson& lesson, const Box& box);

/// A note being chosen to be asked: on the staff and in words.
void draw_ask_choice(const Canvas& canvas, const desk::AskChoice& choice, const Box& box);

} // namespace bellhand::gui
