#pragma once

#include "engraving/layout.h"
#include "engraving/staff_place.h"
#include "gui/canvas.h"

#include <functional>

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

/// Draws a line of engraved music whose staff begins at `left` and has its bottom line at `bottom_line_y`. `ink_of` is
/// asked for the colour of every event; what belongs to none is drawn in ink, staff lines softer.
void draw_system(const Canvas& canvas,
                 const engraving::System& system,
                 float left,
                 float bottom_line_y,
                 float space,
                 const std::function<Colour(int event)>& ink_of);

/// Widths of texts as this canvas draws them, for the layout of lines with this staff space.
[[nodiscard]] std::function<float(engraving::TextFace, float, std::string_view)>
text_widths(const Canvas& canvas, float space);

} // namespace bellhand::gui
