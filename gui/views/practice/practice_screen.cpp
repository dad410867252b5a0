#include "desk/model/phrases.h"
#include "desk/model/status_line.h"
#include "gui/views/views.h"

#include <algorithm>
#include <string>
#include <vector>

namespace bellhand::gui {

namespace {

/// Before the first note: what is the matter, or what to do, beside the empty staff.
void draw_invitation(const Canvas& canvas, const desk::Desk& desk, Box box) {
    const desk::StatusLine status = desk::status_line(
        desk.session().view(), desk.session().listening(), desk.session().problem());
    const char* words = status.warning               ? "no sound yet"
                        : desk.session().listening() ? "play a note"
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
    if (status.warning || !desk.session().listening()) {
        offer("I", "choose what to listen to");
        offer("Space", desk.session().listening() ? "end session" : "begin session");
    }
}

void draw_name(const Canvas& canvas,
               const desk::Desk& desk,
               const desk::ShownNote& note,
               const Box& box,
               bool remarks) {
    const float cap = std::min(0.61F * box.height(), 0.52F * box.width());
    const Colour ink = note.pale() ? canvas.colour.ink_soft : canvas.colour.ink;
    const float baseline = box.middle_y() + 0.5F * cap - (remarks ? 0.5F * canvas.em : 0.0F);
    canvas.note_name(note.note.written, cap, box.middle_x(), baseline, Align::middle, ink);
    if (!remarks) {
        return;
    }
    const horn::Note sounding =
        horn::sounding_note(note.note.written, desk.session().tuning().crook);
    canvas.text(Face::text,
                canvas.small_cap(),
                box.middle_x(),
                baseline + 2.1F * canvas.em,
                Align::middle,
                canvas.colour.ink_soft,
                "written " + horn::display_name(note.note.written) + ", sounding " +
                    horn::display_name(sounding));
}

/// Heights of the middle column's rows, in pixels. With large type on a small screen the thread goes first, then the
/// advice, the remarks, at last the range of the hand.
struct Rows {
    float note;
    float gap;
    float facts;
    float hand;   ///< the range that is heard; 0: left out
    float advice; ///< 0: left out
    float thread; ///< 0: left out
    bool remarks;
};

Rows rows_in(const Canvas& canvas, float height) {
    const float em = canvas.em;
    const float least_note = canvas.scale.note_cap_px() + 2.2F * em;
    const float bare_facts = 1.9F * em + canvas.scale.figure_cap_px();
    const float remarks = 1.35F * em;
    const float least_thread = 4.6F * em;
    Rows rows{std::max(least_note, 0.36F * height),
              1.1F * em,
              bare_facts + remarks,
              1.35F * canvas.played().em + 1.55F * canvas.played_cap() + 1.2F * em,
              2.5F * em,
              least_thread,
              true};
    const auto over = [&] {
        const auto row = [&](float size) { return size > 0.0F ? size + rows.gap : 0.0F; };
        return rows.note + row(rows.facts) + row(rows.hand) +
               (rows.advice > 0.0F ? rows.advice + 0.4F * rows.gap : 0.0F) + row(rows.thread) -
               height;
    };
    if (over() > 0.0F) {
        rows.note = std::max(least_note, rows.note - over());
    }
    if (over() > 0.0F) {
        rows.thread = 0.0F;
    }
    if (over() > 0.0F) {
        rows.advice = 0.0F;
    }
    if (over() > 0.0F) {
        rows.facts = bare_facts;
        rows.remarks = false;
    }
    if (over() > 0.0F) {
        rows.hand = 0.0F;
    }
    if (rows.thread > 0.0F) {
        rows.thread -= over();
    } else {
        rows.note -= over();
    }
    return rows;
}

void draw_note(const Canvas& canvas, const desk::Desk& desk, Box box, bool remarks) {
    const std::optional<desk::ShownNote>& note = desk.session().view().note();
    if (note) {
        draw_staff(canvas, note, box.take_left(0.46F * box.width()));
        draw_name(canvas, desk, *note, box, remarks);
    } else {
        draw_staff(canvas, note, box.take_left(std::min(0.46F * box.width(), 17.0F * canvas.em)));
        draw_invitation(canvas, desk, box);
    }
}

/// Large type takes room: what gave way is named, not hidden.
void draw_left_out(const Canvas& canvas, const Box& box, const std::vector<std::string>& left_out) {
    std::string words;
    for (const std::string& each : left_out) {
        words += (words.empty() ? "" : ", ") + each;
    }
    if (!words.empty()) {
        canvas.text_within(Face::text,
                           std::min(canvas.small_cap(), 0.022F * canvas.scale.window_height_px),
                           box.x0,
                           box.y1 - 0.3F * canvas.small_cap(),
                           box.width(),
                           canvas.colour.ink_soft,
                           "No room at this size of type (Ctrl − makes it smaller): " + words +
                               ".");
    }
}

} // namespace

void draw_practice_screen(const Canvas& canvas, desk::Desk& desk, const Box& window) {
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);

    // Columns appear as there is room for them: the note never gives way. What has none is named.
    const Box remark{rest.x0, rest.y1 - 1.5F * canvas.small_cap(), rest.x1, rest.y1};
    rest = rest.shrunk(0.0F, 1.4F * em);
    std::vector<std::string> left_out;
    if (rest.width() > 44.0F * em) {
        draw_ladder(canvas, desk, rest.take_left(14.5F * em));
        rest.take_left(1.8F * em);
    } else {
        left_out.emplace_back("natural notes");
    }
    if (rest.width() > 44.0F * em) {
        draw_notes(canvas, desk, rest.take_right(std::max(15.5F * em, 10.5F * canvas.played().em)));
        rest.take_right(2.2F * em);
    } else {
        left_out.emplace_back("notes played");
    }
    const Rows rows = rows_in(canvas, rest.height());
    if (rows.hand <= 0.0F) {
        left_out.emplace_back("hand as heard");
    }
    if (rows.advice <= 0.0F) {
        left_out.emplace_back("advice");
    }
    if (rows.thread <= 0.0F) {
        left_out.emplace_back("line of pitch");
    }
    draw_left_out(canvas, remark, left_out);
    draw_note(canvas, desk, rest.take_top(rows.note), rows.remarks);
    rest.take_top(rows.gap);
    draw_facts(canvas, desk.session().view().note(), rest.take_top(rows.facts), rows.remarks);
    if (rows.hand > 0.0F) {
        rest.take_top(rows.gap);
        draw_heard_hand(canvas, desk, rest.take_top(rows.hand));
    }
    if (rows.advice > 0.0F) {
        rest.take_top(0.4F * rows.gap);
        const Box advice = rest.take_top(rows.advice);
        if (const auto& note = desk.session().view().advised()) {
            draw_advice(canvas, *note, advice);
        }
    }
    if (rows.thread > 0.0F) {
        rest.take_top(rows.gap);
        draw_thread(canvas, desk, rest);
    }
}

} // namespace bellhand::gui
