#include "gui/views/staff_drawing.h"

#include <algorithm>
#include <cmath>

namespace bellhand::gui {

namespace {

/// Thicknesses in staff spaces, as engravers cut them (common practice, no source).
constexpr float kStaffLine = 0.11F;
constexpr float kLedgerLine = 0.16F;
constexpr float kStem = 0.13F;

void draw_ledgers(const Canvas& canvas, const Staff& staff, const StaffPlace& place, float x) {
    const float half = 1.05F * staff.space;
    const auto ledger = [&](int step) {
        canvas.level_line(
            x - half, x + half, staff.y_of(step), canvas.colour.ink, kLedgerLine * staff.space);
    };
    for (int i = 1; i <= place.ledgers_above; ++i) {
        ledger(8 + 2 * i);
    }
    for (int i = 1; i <= place.ledgers_below; ++i) {
        ledger(-2 * i);
    }
}

void draw_stem(const Canvas& canvas, const Staff& staff, int step, float x, Colour ink) {
    const bool up = step < 4;
    const float thick = std::max(1.0F, kStem * staff.space);
    const float head = 0.62F * staff.space;
    // Three and a half spaces, but at least to the middle line.
    const float y = staff.y_of(step);
    const float middle = staff.y_of(4);
    if (up) {
        const float end = std::min(y - 3.5F * staff.space, middle);
        canvas.fill({x + head - thick, end, x + head, y - 0.16F * staff.space}, ink);
    } else {
        const float end = std::max(y + 3.5F * staff.space, middle);
        canvas.fill({x - head, y + 0.16F * staff.space, x - head + thick, end}, ink);
    }
}

} // namespace

void draw_staff_lines(const Canvas& canvas, const Staff& staff) {
    for (int step = 0; step <= 8; step += 2) {
        canvas.level_line(staff.left,
                          staff.right,
                          staff.y_of(step),
                          canvas.colour.ink_soft,
                          kStaffLine * staff.space);
    }
}

void draw_clef(const Canvas& canvas, const Staff& staff, Clef clef, float x, float size) {
    const bool treble = clef == Clef::treble;
    canvas.fonts.engraving().draw(canvas.list,
                                  treble ? Sign::treble_clef : Sign::bass_clef,
                                  size * staff.space,
                                  x,
                                  staff.y_of(treble ? 2 : 6),
                                  canvas.colour.ink);
}

void draw_staff_note(const Canvas& canvas,
                     const Staff& staff,
                     horn::Note note,
                     float x,
                     Colour ink,
                     Stem stem,
                     bool restored) {
    const StaffPlace place = staff_place(note);
    const float y = staff.y_of(place.step);
    draw_ledgers(canvas, staff, place, x);
    const Engraving& engraving = canvas.fonts.engraving();
    engraving.draw(canvas.list, Sign::notehead, staff.space, x, y, ink);
    if (stem == Stem::drawn) {
        draw_stem(canvas, staff, place.step, x, ink);
    }
    if (note.sharps != 0 || restored) {
        const Sign sign = note.sharps < 0   ? Sign::flat
                          : note.sharps > 0 ? Sign::sharp
                                            : Sign::natural;
        engraving.draw(canvas.list, sign, staff.space, x - 1.95F * staff.space, y, ink);
    }
}

} // namespace bellhand::gui
