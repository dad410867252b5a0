#pragma once

#include "engraving/note_value.h"
#include "engraving/staff_place.h"
#include "gui/canvas.h"

namespace bellhand::gui {

/// Five lines on the screen. Steps are half spaces from the bottom line upwards.
struct Staff {
    float left = 0.0F;
    float right = 0.0F;
    float bottom_line_y = 0.0F;
    float space = 10.0F;

    [[nodiscard]] float y_of(int step) const noexcept {
        return bottom_line_y - 0.5F * space * static_cast<float>(step);
    }
};

enum class Stem { none, drawn };

void draw_staff_lines(const Canvas& canvas, const Staff& staff);
/// `size` 1 at the beginning of a system, smaller where it changes within.
void draw_clef(const Canvas& canvas, const Staff& staff, engraving::Clef clef, float x, float size);
/// Head, accidental, ledger lines and stem of a note whose head is centred at `x`. `restored`: a natural sign takes an
/// accidental before it back.
void draw_staff_note(const Canvas& canvas,
                     const Staff& staff,
                     horn::Note note,
                     float x,
                     Colour ink,
                     Stem stem,
                     bool restored = false);

/// Where a note stands and how it is written.
struct WrittenNote {
    engraving::StaffPlace place;
    engraving::NoteValue value;
    int sharps = 0;
    bool restored = false;
};

/// The same with its value: open or filled head, stem, flags, dots.
void draw_written_note(
    const Canvas& canvas, const Staff& staff, const WrittenNote& note, float x, Colour ink);
/// A rest whose middle is at `x`.
void draw_rest(const Canvas& canvas,
               const Staff& staff,
               const engraving::NoteValue& value,
               float x,
               Colour ink);

} // namespace bellhand::gui
