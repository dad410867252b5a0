#include "gui/views/staff_drawing.h"

#include <algorithm>
#include <cmath>

namespace bellhand::gui {

namespace {

/// Thicknesses in staff spaces, as engravers cut them (common practice, no source).
constexpr float kStaffLine = 0.11F;
constexpr float kLedgerLine = 0.16F;
constexpr float kStem = 0.13F;

void draw_ledgers(const Canvas& canvas,
                  const Staff& staff,
                  const engraving::StaffPlace& place,
                  float x) {
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

/// Returns the y of its end.
float draw_stem(const Canvas& canvas, const Staff& staff, int step, float x, Colour ink) {
    const bool up = step < 4;
    const float thick = std::max(1.0F, kStem * staff.space);
    const float head = 0.62F * staff.space;
    // Three and a half spaces, but at least to the middle line.
    const float y = staff.y_of(step);
    const float middle = staff.y_of(4);
    if (up) {
        const float end = std::min(y - 3.5F * staff.space, middle);
        canvas.fill({x + head - thick, end, x + head, y - 0.16F * staff.space}, ink);
        return end;
    }
    const float end = std::max(y + 3.5F * staff.space, middle);
    canvas.fill({x - head, y + 0.16F * staff.space, x - head + thick, end}, ink);
    return end;
}

void draw_accidental(const Canvas& canvas,
                     const Staff& staff,
                     int sharps,
                     bool restored,
                     float x,
                     float y,
                     Colour ink) {
    if (sharps == 0 && !restored) {
        return;
    }
    const engraving::Sign sign = sharps < 0   ? engraving::Sign::flat
                                 : sharps > 0 ? engraving::Sign::sharp
                                              : engraving::Sign::natural;
    canvas.fonts.engraving().draw(canvas.list, sign, staff.space, x - 1.95F * staff.space, y, ink);
}

void draw_dots(const Canvas& canvas, const Staff& staff, int step, int dots, float x, Colour ink) {
    const float y = staff.y_of(step % 2 == 0 ? step + 1 : step); // never on a line
    for (int i = 0; i < dots; ++i) {
        canvas.dot(
            x + (1.15F + 0.6F * static_cast<float>(i)) * staff.space, y, 0.2F * staff.space, ink);
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

void draw_clef(
    const Canvas& canvas, const Staff& staff, engraving::Clef clef, float x, float size) {
    const bool treble = clef == engraving::Clef::treble;
    canvas.fonts.engraving().draw(canvas.list,
                                  treble ? engraving::Sign::treble_clef
                                         : engraving::Sign::bass_clef,
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
    const engraving::StaffPlace place = engraving::staff_place(note);
    const float y = staff.y_of(place.step);
    draw_ledgers(canvas, staff, place, x);
    const Engraving& engraving = canvas.fonts.engraving();
    engraving.draw(canvas.list, engraving::Sign::notehead, staff.space, x, y, ink);
    if (stem == Stem::drawn) {
        draw_stem(canvas, staff, place.step, x, ink);
    }
    draw_accidental(canvas, staff, note.sharps, restored, x, y, ink);
}

void draw_written_note(
    const Canvas& canvas, const Staff& staff, const WrittenNote& note, float x, Colour ink) {
    const float y = staff.y_of(note.place.step);
    draw_ledgers(canvas, staff, note.place, x);
    const Engraving& engraving = canvas.fonts.engraving();
    const engraving::Sign head =
        note.value.head == engraving::Head::whole  ? engraving::Sign::whole_head
        : note.value.head == engraving::Head::half ? engraving::Sign::half_head
                                                   : engraving::Sign::notehead;
    engraving.draw(canvas.list, head, staff.space, x, y, ink);
    if (note.value.head != engraving::Head::whole) {
        const float end = draw_stem(canvas, staff, note.place.step, x, ink);
        const bool up = note.place.step < 4;
        const float stem_x = up ? x + 0.50F * staff.space : x - 0.62F * staff.space;
        for (int i = 0; i < note.value.flags; ++i) {
            const float away = 0.9F * staff.space * static_cast<float>(i);
            engraving.draw(canvas.list,
                           up ? engraving::Sign::flag_up : engraving::Sign::flag_down,
                           staff.space,
                           stem_x,
                           up ? end + away : end - away,
                           ink);
        }
    }
    draw_dots(canvas, staff, note.place.step, note.value.dots, x, ink);
    draw_accidental(canvas, staff, note.sharps, note.restored, x, y, ink);
}

void draw_rest(const Canvas& canvas,
               const Staff& staff,
               const engraving::NoteValue& value,
               float x,
               Colour ink) {
    const float middle = staff.y_of(4);
    if (value.head == engraving::Head::filled) {
        canvas.fonts.engraving().draw(canvas.list,
                                      value.flags > 0 ? engraving::Sign::eighth_rest
                                                      : engraving::Sign::quarter_rest,
                                      staff.space,
                                      x,
                                      middle,
                                      ink);
    } else {
        // A whole rest hangs from the fourth line, a half rest lies on the third.
        const float top =
            value.head == engraving::Head::whole ? staff.y_of(6) : middle - 0.5F * staff.space;
        canvas.fill({x - 0.6F * staff.space, top, x + 0.6F * staff.space, top + 0.5F * staff.space},
                    ink);
    }
    draw_dots(canvas, staff, 4, value.dots, x, ink);
}

} // namespace bellhand::gui
