#include "gui/model/phrases.h"
#include "gui/model/status_line.h"
#include "gui/views/views.h"

#include <algorithm>

namespace bellhand::gui {

namespace {

/// Before the first note: what is the matter, or what to do, beside the empty staff.
void draw_invitation(const Canvas& canvas, const Desk& desk, Box box) {
    const StatusLine status = status_line(desk.view(), desk.listening(), desk.problem());
    const char* words = status.warning     ? "no sound yet"
                        : desk.listening() ? "play a note"
                                           : "not listening";
    box.take_left(3.0F * canvas.em);
    const float baseline = box.middle_y() + canvas.cap();
    canvas.text(Face::remark,
                1.5F * canvas.cap(),
                box.x0,
                baseline,
                Align::left,
                canvas.colour.ink_soft,
                words);
    Box place{
        box.x0, baseline + 1.4F * canvas.em, std::min(box.x1, box.x0 + 24.0F * canvas.em), box.y1};
    if (status.warning) {
        place.y0 =
            canvas.paragraph(Face::text, canvas.cap(), place, canvas.colour.warning, status.words);
        place.take_top(0.9F * canvas.em);
    }
    const auto offer = [&](const char* key, const char* meaning) {
        const float line = place.y0 + canvas.em;
        const float x = place.x0 + canvas.key_cap(place.x0, line, key) + 0.7F * canvas.em;
        canvas.text(Face::text, canvas.cap(), x, line, Align::left, canvas.colour.ink, meaning);
        place.take_top(2.1F * canvas.em);
    };
    if (status.warning || !desk.listening()) {
        offer("I", "choose what to listen to");
        offer("Space", desk.listening() ? "end this session" : "begin a session");
    }
}

void draw_name(const Canvas& canvas, const Desk& desk, const ShownNote& note, const Box& box) {
    const float cap = canvas.scale.note_cap_px();
    const Colour ink = note.sounding ? canvas.colour.ink : canvas.colour.ink_soft;
    const float baseline = box.middle_y() + 0.5F * cap;
    canvas.note_name(note.note.written, cap, box.middle_x(), baseline, Align::middle, ink);
    const horn::Note sounding =
        horn::usual_spelling(note.note.written.number + desk.tuning().crook.transposition);
    canvas.text(Face::text,
                canvas.small_cap(),
                box.middle_x(),
                baseline + 2.4F * canvas.em,
                Align::middle,
                canvas.colour.ink_soft,
                "written " + horn::display_name(note.note.written) + ", sounding " +
                    horn::display_name(sounding));
}

} // namespace

void draw_practice_screen(const Canvas& canvas, Desk& desk, const Box& window) {
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_header(canvas, desk, rest.take_top(4.9F * em));
    draw_footer(canvas, desk, rest.take_bottom(2.8F * em));

    // Columns appear as there is room for them: the note never gives way.
    rest = rest.shrunk(0.0F, 1.4F * em);
    if (rest.width() > 46.0F * em) {
        draw_ladder(canvas, desk, rest.take_left(14.5F * em));
        rest.take_left(1.8F * em);
    }
    if (rest.width() > 44.0F * em) {
        draw_notes(canvas, desk, rest.take_right(15.5F * em));
        rest.take_right(2.2F * em);
    }

    const std::optional<ShownNote>& note = desk.view().note();
    Box top = rest.take_top(0.44F * rest.height());
    if (note) {
        const Box staff = top.take_left(0.46F * top.width());
        draw_staff(canvas, note, staff);
        draw_name(canvas, desk, *note, top);
    } else {
        const float width = std::min(0.46F * top.width(), 17.0F * em);
        Box staff = top;
        draw_staff(canvas, note, {staff.x0, staff.y0, staff.x0 + width, staff.y1});
        staff.take_left(width);
        draw_invitation(canvas, desk, staff);
    }
    rest.take_top(1.0F * em);
    const Box facts = rest.take_top(3.2F * em + canvas.scale.figure_cap_px());
    draw_facts(canvas, note, facts);
    rest.take_top(1.8F * em);
    draw_thread(canvas, desk, rest);
}

} // namespace bellhand::gui
