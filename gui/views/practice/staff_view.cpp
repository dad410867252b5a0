#include "desk/model/phrases.h"
#include "gui/views/staff_drawing.h"
#include "gui/views/views.h"

#include <algorithm>
#include <cmath>

namespace bellhand::gui {

void draw_staff(const Canvas& canvas, const std::optional<desk::ShownNote>& note, const Box& box) {
    const float space = std::min(box.height() / 15.0F, box.width() / 15.0F);
    const engraving::StaffPlace place =
        note ? engraving::staff_place(note->note.written) : engraving::StaffPlace{};
    const Staff staff{box.x0, box.x1, std::round(box.middle_y() + 2.0F * space), space};
    draw_staff_lines(canvas, staff);
    draw_clef(canvas, staff, place.clef, staff.left + 1.9F * space, 1.0F);
    if (!note) {
        return;
    }
    const Colour ink = note->pale() ? canvas.colour.ink_soft : canvas.colour.voice;
    const float x = staff.left + 0.64F * (staff.right - staff.left);
    draw_staff_note(canvas, staff, note->note.written, x, ink, Stem::drawn);

    // The hand's sign stands over the staff, or over a note that rises above it.
    const float y = staff.y_of(place.step);
    const float top = place.step < 4 ? staff.y_of(place.step + 7) : y - 0.6F * space;
    const float over = std::min(staff.y_of(8), top) - 1.5F * space;
    canvas.hand_sign(
        desk::hand_signs(note->note.written), 1.35F * space, x, over, Align::middle, ink);
}

} // namespace bellhand::gui
