#include "gui/model/phrases.h"
#include "gui/model/staff_place.h"
#include "gui/views/views.h"

#include <algorithm>
#include <cmath>

#include <imgui.h>

namespace bellhand::gui {

namespace {

/// Thicknesses in staff spaces, as engravers cut them (common practice, no source).
constexpr float kStaffLine = 0.11F;
constexpr float kLedgerLine = 0.16F;
constexpr float kStem = 0.13F;

struct Staff {
    float left;
    float right;
    float bottom_line_y;
    float space;

    [[nodiscard]] float y_of(int step) const noexcept {
        return bottom_line_y - 0.5F * space * static_cast<float>(step);
    }
};

void draw_lines(const Canvas& canvas, const Staff& staff) {
    const float thick = std::max(1.0F, std::round(kStaffLine * staff.space));
    for (int step = 0; step <= 8; step += 2) {
        const float y = std::round(staff.y_of(step));
        canvas.fill({staff.left, y, staff.right, y + thick}, canvas.colour.ink_soft);
    }
}

void draw_ledgers(const Canvas& canvas, const Staff& staff, const StaffPlace& place, float x) {
    const float half = 1.05F * staff.space;
    const float thick = std::max(1.0F, std::round(kLedgerLine * staff.space));
    const auto ledger = [&](int step) {
        const float y = std::round(staff.y_of(step));
        canvas.fill({x - half, y, x + half, y + thick}, canvas.colour.ink);
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

void draw_staff(const Canvas& canvas, const std::optional<ShownNote>& note, const Box& box) {
    const float space = std::min(box.height() / 15.0F, box.width() / 15.0F);
    const StaffPlace place = note ? staff_place(note->note.written) : StaffPlace{};
    Staff staff{box.x0, box.x1, std::round(box.middle_y() + 2.0F * space), space};
    draw_lines(canvas, staff);

    const Engraving& engraving = canvas.fonts.engraving();
    const bool treble = place.clef == Clef::treble;
    engraving.draw(canvas.list,
                   treble ? Sign::treble_clef : Sign::bass_clef,
                   space,
                   staff.left + 1.9F * space,
                   staff.y_of(treble ? 2 : 6) + 0.5F * kStaffLine * space,
                   canvas.colour.ink);
    if (!note) {
        return;
    }

    const Colour ink = note->sounding ? canvas.colour.voice : canvas.colour.ink_soft;
    const float x = staff.left + 0.64F * (staff.right - staff.left);
    const float y = staff.y_of(place.step);
    draw_ledgers(canvas, staff, place, x);
    engraving.draw(canvas.list, Sign::notehead, space, x, y, ink);
    draw_stem(canvas, staff, place.step, x, ink);
    if (note->note.written.sharps != 0) {
        const Sign sign = note->note.written.sharps < 0 ? Sign::flat : Sign::sharp;
        engraving.draw(canvas.list, sign, space, x - 2.1F * space, y, ink);
    }
    const std::string signs = hand_signs(note->note.written);
    const float stem_top = place.step < 4 ? staff.y_of(place.step + 7) : y - 0.6F * space;
    const float over = std::min(staff.y_of(8), stem_top) - 1.5F * space;
    canvas.hand_sign(signs, 1.35F * space, x, over, Align::middle, ink);
}

} // namespace bellhand::gui
