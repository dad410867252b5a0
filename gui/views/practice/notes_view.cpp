#include "desk/model/phrases.h"
#include "gui/views/octave.h"
#include "gui/views/page_parts.h"
#include "gui/views/views.h"
#include "report/text.h"
#include "trainer/tolerance.h"

#include <algorithm>

namespace bellhand::gui {

namespace {

constexpr float kRange_cents = 30.0F;

/// A small drawing of one note: target, tolerance, where it lay and how widely it moved.
void draw_deviation(const Canvas& canvas, const Box& box, const trainer::PlayedNote& note) {
    const auto x_of = [&box](double cents) {
        const float inside = std::clamp(static_cast<float>(cents), -kRange_cents, kRange_cents);
        return box.middle_x() + inside / kRange_cents * 0.5F * box.width();
    };
    const double tolerance = note.tolerance_factor * trainer::tolerance_cents(note.hand);
    const float y = box.middle_y();
    const float tall = 0.36F * canvas.em;
    canvas.fill({x_of(-tolerance), y - tall, x_of(tolerance), y + tall}, canvas.colour.brass_soft);
    for (const double edge : {-tolerance, tolerance}) {
        const float x = x_of(edge);
        canvas.fill({x - 0.5F * canvas.hair(), y - tall, x + 0.5F * canvas.hair(), y + tall},
                    canvas.colour.brass);
    }
    canvas.fill({x_of(0.0) - 0.5F * canvas.hair(),
                 y - 1.6F * tall,
                 x_of(0.0) + 0.5F * canvas.hair(),
                 y + 1.6F * tall},
                canvas.colour.brass);
    const float thick = std::max(2.0F, 0.12F * canvas.em);
    if (!note.pitch_known()) { // somewhere in there
        const float from = x_of(note.deviation_cents - note.known_within_cents);
        const float to = x_of(note.deviation_cents + note.known_within_cents);
        // Off the scale it is still two strokes wide.
        const float beyond = std::max(0.0F, 2.0F * thick - (to - from));
        canvas.fill({from - 0.5F * beyond, y - 0.5F * thick, to + 0.5F * beyond, y + 0.5F * thick},
                    canvas.colour.voice_pale);
        return;
    }
    canvas.fill({x_of(note.deviation_cents - note.spread_cents),
                 y - 0.5F * thick,
                 x_of(note.deviation_cents + note.spread_cents),
                 y + 0.5F * thick},
                canvas.colour.voice);
    if (note.finished) {
        canvas.dot(x_of(note.deviation_cents), y, 0.24F * canvas.em, canvas.colour.voice);
    } else {
        canvas.ring(x_of(note.deviation_cents), y, 0.24F * canvas.em, canvas.colour.voice, thick);
    }
}

} // namespace

void draw_notes(const Canvas& page, const desk::Desk& desk, const Box& box) {
    Box rest = box;
    const Box head = rest.take_top(2.2F * page.em);
    const std::size_t ended = desk.session().view().notes_ended();
    draw_small_heading(page,
                       head,
                       ended == 0 ? "notes played"
                                  : std::to_string(ended) + (ended == 1 ? " note" : " notes") +
                                        " in " + report::clock_text(desk.session().elapsed_s()));
    const Canvas canvas = page.played();
    const float row_height = 2.15F * canvas.em;
    for (const trainer::PlayedNote& note : desk.session().view().notes()) {
        if (rest.height() < row_height) {
            break;
        }
        Box row = rest.take_top(row_height);
        const float baseline = row.middle_y() + 0.5F * canvas.cap();
        const Colour ink = note.finished ? canvas.colour.ink : canvas.colour.voice;
        draw_note_and_octave(
            canvas, note.written, 1.08F * canvas.cap(), row.x0, baseline, Align::left, ink);
        const std::string signs = horn::hand_sign(note.hand);
        canvas.text(Face::text,
                    canvas.cap(),
                    row.x0 + 3.3F * canvas.em,
                    baseline,
                    Align::right,
                    canvas.colour.ink_soft,
                    std::to_string(note.partial));
        canvas.hand_sign(
            signs, canvas.cap(), row.x0 + 4.6F * canvas.em, row.middle_y(), Align::middle, ink);
        canvas.text(Face::strong,
                    canvas.cap(),
                    row.x1,
                    baseline,
                    Align::right,
                    note.pitch_known() ? ink : canvas.colour.ink_soft,
                    note.pitch_known() ? desk::signed_cents(note.deviation_cents)
                                       : desk::within_cents(note.known_within_cents));
        row.take_left(5.6F * canvas.em);
        row.take_right(3.0F * canvas.em);
        if (row.width() > 3.0F * canvas.em) {
            draw_deviation(canvas, row, note);
        }
        canvas.hairline(box.x0, row.y1, box.x1, row.y1);
    }
}

} // namespace bellhand::gui
