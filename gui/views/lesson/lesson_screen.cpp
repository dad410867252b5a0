#include "desk/model/lesson_words.h"
#include "desk/model/status_line.h"
#include "gui/views/lesson/lesson_views.h"
#include "gui/views/page_parts.h"
#include "gui/views/staff_drawing.h"
#include "gui/views/views.h"
#include "words/verdict.h"

#include <algorithm>
#include <utility>

namespace bellhand::gui {

namespace {

/// Words of printed music's roman, cut smaller where they would not fit.
void draw_fitting(const Canvas& canvas,
                  float cap,
                  float x,
                  float baseline,
                  float room,
                  Colour ink,
                  const std::string& words) {
    const float wide = canvas.width(Face::music, cap, words);
    canvas.text(
        Face::music, cap * std::min(1.0F, room / wide), x, baseline, Align::left, ink, words);
}

/// A small heading with something large under it; the box is as wide as both.
void draw_heading(const Canvas& canvas, const Box& box, const char* heading) {
    const float cap = std::min(0.20F * box.height(), 0.5F * canvas.scale.figure_cap_px());
    draw_fitting(canvas, cap, box.x0, box.y0 + cap, box.width(), canvas.colour.ink_soft, heading);
}

/// Hand asked, hand heard, partial: three columns, each under its heading.
void draw_hands(const Canvas& canvas, const desk::LessonNote& note, Box box) {
    const float third = box.width() / 3.0F;
    const std::string heard = desk::heard_signs(note.hand);
    const float cap = std::min(0.56F * box.height(), canvas.scale.large_figure_cap_px());
    const float y = box.y1 - 0.5F * cap;
    const auto signs = [&](const Box& place, const std::string& which, Colour ink) {
        const float room = 0.92F * place.width();
        const float wide = std::max(1.0F, canvas.hand_sign_width(which, cap));
        canvas.hand_sign(which, cap * std::min(1.0F, room / wide), place.x0, y, Align::left, ink);
    };
    const Box asked_box = box.take_left(third);
    draw_heading(canvas, asked_box, "asked");
    const std::string asked = desk::asked_signs(note.asked);
    if (asked.empty()) {
        draw_fitting(canvas,
                     0.6F * cap,
                     asked_box.x0,
                     y + 0.3F * cap,
                     0.92F * third,
                     canvas.colour.ink_soft,
                     "not in the chart");
    } else {
        signs(asked_box, asked, canvas.colour.ink);
    }
    const Box heard_box = box.take_left(third);
    draw_heading(canvas, heard_box, "heard");
    if (heard.empty()) {
        draw_fitting(canvas,
                     0.6F * cap,
                     heard_box.x0,
                     y + 0.3F * cap,
                     0.92F * third,
                     canvas.colour.ink_soft,
                     desk::no_hand_words(note));
    } else {
        signs(heard_box, heard, note.sure ? canvas.colour.voice : canvas.colour.ink_soft);
    }
    draw_heading(canvas, box, "partial");
    draw_ordinal(canvas, note.partial, cap, box.x0, box.y1, Align::left, canvas.colour.ink);
}

/// The note itself, large, with everything about it beside it.
void draw_framed(const Canvas& canvas, const desk::LessonNote& note, bool two_sides, Box box) {
    const float height = box.height();
    const Box left = box.take_left(0.34F * box.width());
    box.take_left(0.02F * box.width());
    float cap = std::min(canvas.scale.large_note_cap_px(), 0.72F * height);
    const float wide = note_with_octave_width(canvas, note.written, cap);
    cap *= std::min(1.0F, 0.94F * left.width() / wide);
    draw_note_with_octave(canvas,
                          note.written,
                          cap,
                          left.middle_x() -
                              0.5F * note_with_octave_width(canvas, note.written, cap),
                          left.middle_y() + 0.5F * cap,
                          note.sure ? canvas.colour.ink : canvas.colour.ink_soft);
    const float small = std::min(0.08F * height, 0.6F * canvas.scale.figure_cap_px());
    std::string over = two_sides ? desk::side_words(note.side) : "";
    over += note.marked ? (over.empty() ? "marked" : ", marked") : "";
    if (note.marked) {
        canvas.fill({left.x0, left.y0, left.x0 + 0.5F * small, left.y0 + 1.3F * small},
                    canvas.colour.brass);
    }
    canvas.text(Face::music,
                small,
                left.x0 + small,
                left.y0 + 1.1F * small,
                Align::left,
                canvas.colour.ink,
                over);
    draw_hands(canvas, note, box.take_top(0.40F * height));
    const Box cents = box.take_top(0.30F * height);
    const float figure = std::min(0.62F * cents.height(), canvas.scale.large_figure_cap_px());
    draw_fitting(canvas,
                 figure,
                 cents.x0,
                 cents.middle_y() + 0.5F * figure,
                 cents.width(),
                 note.sure && note.pitch_known() ? canvas.colour.ink : canvas.colour.ink_soft,
                 desk::off_words(note));
    desk::ShownHand hand;
    hand.estimate = note.hand;
    hand.asked = note.asked;
    hand.sounding = note.sure;
    draw_hand_range(
        canvas, hand, box, std::min(0.28F * box.height(), canvas.scale.figure_cap_px()));
}

/// What is asked next, across the page.
void draw_asked(const Canvas& canvas, const desk::Asked& asked, const Box& box) {
    canvas.fill(box, canvas.colour.brass_soft);
    const float cap = 0.5F * box.height();
    const float baseline = box.middle_y() + 0.5F * cap;
    float x = box.x0 + 0.02F * box.width();
    x +=
        canvas.text(Face::music, 0.7F * cap, x, baseline, Align::left, canvas.colour.ink, "Next: ");
    x += 0.3F * cap;
    draw_note_with_octave(canvas, asked.written, cap, x, baseline, canvas.colour.ink);
    x += note_with_octave_width(canvas, asked.written, cap) + 0.8F * cap;
    const std::string signs = desk::asked_signs(asked.way);
    canvas.hand_sign(signs, cap, x, box.middle_y(), Align::left, canvas.colour.ink);
    x += canvas.hand_sign_width(signs, cap) + 0.8F * cap;
    draw_fitting(canvas,
                 0.7F * cap,
                 x,
                 baseline,
                 box.x1 - x - 0.02F * box.width(),
                 canvas.colour.ink,
                 desk::asked_words(asked));
}

desk::StatusLine status_of(const desk::Session& session) {
    return desk::status_line_of_both(
        session.view(), session.listening(), session.problem(), session.call_problem());
}

/// Before the first note: what to do.
void draw_invitation(const Canvas& canvas, const desk::Desk& desk, Box box) {
    const desk::StatusLine status = status_of(desk.session());
    const bool listening = desk.session().listening();
    const float title_cap = canvas.scale.figure_cap_px();
    const char* const title = status.warning ? "no sound yet"
                              : listening    ? "play a note"
                                             : "not listening";
    canvas.text(Face::music,
                title_cap,
                box.x0,
                box.y0 + 0.2F * box.height() + title_cap,
                Align::left,
                canvas.colour.ink,
                title);
    box.take_top(0.2F * box.height() + 2.0F * title_cap);
    if (status.warning) {
        box.y0 = canvas.paragraph(
            Face::text, 1.3F * canvas.cap(), box, canvas.colour.warning, status.words);
    }
    const auto offer = [&](const char* key, const char* meaning) {
        const float baseline = box.y0 + 1.6F * canvas.em;
        const float x = box.x0 + canvas.key_cap(box.x0, baseline, key) + 0.7F * canvas.em;
        const float cap = 1.2F * canvas.cap();
        const float room = std::max(1.0F, box.x1 - x) / canvas.width(Face::text, cap, meaning);
        canvas.text(Face::text,
                    cap * std::min(1.0F, room),
                    x,
                    baseline,
                    Align::left,
                    canvas.colour.ink,
                    meaning);
        box.take_top(2.6F * canvas.em);
    };
    if (status.warning || !listening) {
        offer("I", "choose a microphone, or another input");
        offer("Space", listening ? "end session" : "begin session");
    }
    offer("N", "ask for a note and a hand, as in \"this F with three-quarters\"");
}

/// What the foot says, and whether it wants to be read.
std::pair<std::string, bool> sentence_of(const desk::Desk& desk) {
    const desk::LessonPage& page = desk.pages().lesson;
    if (!page.problem().empty()) {
        return {page.problem(), true};
    }
    if (std::string words = page.sentence(); !words.empty()) {
        return {std::move(words), false};
    }
    const desk::StatusLine status = status_of(desk.session());
    // Without a note to look at the invitation says it.
    const bool shown = status.warning && desk.session().lesson().framed() != nullptr;
    return {shown ? status.words : std::string(), true};
}

/// One mark: its note, what is kept of it, and whether there is a take.
void draw_mark(const Canvas& canvas,
               const desk::LessonPage& page,
               const desk::LessonNote& note,
               const Box& row) {
    const float baseline = row.middle_y() + 0.5F * canvas.cap();
    draw_two_ends(canvas,
                  row,
                  baseline,
                  Face::text,
                  canvas.colour.ink,
                  desk::mark_words(note),
                  page.take_of(note) != nullptr ? "take" : "no take");
}

/// After the lesson: its marks, and what to practise.
void draw_after(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::LessonPage& page = desk.pages().lesson;
    const std::vector<const desk::LessonNote*> marks = page.marks();
    box.take_top(0.5F * canvas.em);
    Box left = box.take_left(0.48F * box.width());
    box.take_left(2.0F * canvas.em);
    left = draw_section(canvas, left, "marked");
    if (marks.empty()) {
        canvas.paragraph(
            Face::text,
            canvas.cap(),
            left,
            canvas.colour.ink_soft,
            "Nothing was marked. M marks the framed note while a lesson goes on; Left looks back "
            "over its notes.");
    } else {
        const int clicked =
            draw_list(canvas,
                      "marks",
                      left,
                      static_cast<int>(marks.size()),
                      page.chosen(),
                      2.2F * canvas.em,
                      desk.sheet() == desk::Sheet::none,
                      [&](int index, const Box& row, bool /*chosen*/) {
                          draw_mark(canvas, page, *marks[static_cast<std::size_t>(index)], row);
                      });
        if (clicked >= 0) {
            page.choose(clicked);
        }
    }
    Box right = draw_section(canvas, box, "to practise");
    if (page.to_practise().empty()) {
        canvas.paragraph(Face::text,
                         canvas.cap(),
                         right,
                         canvas.colour.ink_soft,
                         "No note was marked, and none was off more than once.");
    }
    for (const desk::ToPractise& item : page.to_practise()) {
        if (right.height() < 2.0F * canvas.em) {
            break; // the homework has them all
        }
        const Box row = right.take_top(2.0F * canvas.em);
        canvas.text_within(Face::text,
                           canvas.cap(),
                           row.x0,
                           row.middle_y() + 0.5F * canvas.cap(),
                           row.width(),
                           canvas.colour.ink,
                           desk::practise_words(item));
    }
}

/// Horn, pitch and side, and at the right that what is shown is not the newest.
void draw_head(const Canvas& canvas, const desk::Desk& desk, const Box& box) {
    const desk::Session& session = desk.session();
    const float cap = std::min(0.44F * box.height(), canvas.scale.figure_cap_px());
    const float baseline = box.middle_y() + 0.5F * cap;
    float right = box.x1;
    if (session.lesson().looking_back()) {
        const std::string words = "looking back";
        right -= canvas.width(Face::music, cap, words);
        canvas.text(Face::music, cap, right, baseline, Align::left, canvas.colour.brass, words);
        right -= cap;
    }
    const std::string& live = session.view().source().name;
    std::string heard = !session.listening() ? "nothing"
                        : live.empty()       ? desk::name_of(session.input())
                                             : live;
    if (session.listening() && session.call()) {
        heard = session.call_problem().empty() ? "this side and the call" : "this side";
    }
    canvas.text_within(Face::music,
                       cap,
                       box.x0,
                       baseline,
                       right - box.x0,
                       canvas.colour.ink_soft,
                       desk::lesson_line(session.tuning(), heard));
}

} // namespace

void draw_ask_choice(const Canvas& canvas, const desk::AskChoice& choice, const Box& box) {
    Box right = box;
    const Box left = right.take_left(0.5F * box.width());
    const float space = std::min(left.height() / 15.0F, left.width() / 15.0F);
    const engraving::StaffPlace place = engraving::staff_place(choice.asked().written);
    const Staff staff{left.x0, left.x1, std::round(left.middle_y() + 2.0F * space), space};
    draw_staff_lines(canvas, staff);
    draw_clef(canvas, staff, place.clef, staff.left + 1.9F * space, 1.0F);
    draw_staff_note(canvas,
                    staff,
                    choice.asked().written,
                    staff.left + 0.6F * left.width(),
                    canvas.colour.ink,
                    Stem::drawn);
    right.take_left(0.06F * right.width());
    const float cap = std::min(canvas.scale.note_cap_px(), 0.4F * right.height());
    const float baseline = right.middle_y();
    draw_note_with_octave(
        canvas, choice.asked().written, cap, right.x0, baseline, canvas.colour.ink);
    canvas.hand_sign(desk::asked_signs(choice.asked().way),
                     0.7F * cap,
                     right.x0 + note_with_octave_width(canvas, choice.asked().written, cap) +
                         0.5F * cap,
                     baseline - 0.5F * cap,
                     Align::left,
                     canvas.colour.ink);
    draw_fitting(canvas,
                 canvas.scale.figure_cap_px(),
                 right.x0,
                 baseline + 2.2F * canvas.scale.figure_cap_px(),
                 right.width(),
                 canvas.colour.ink,
                 desk::asked_words(choice.asked()));
}

void draw_lesson_screen(const Canvas& canvas, desk::Desk& desk, const Box& window) {
    const desk::Lesson& lesson = desk.session().lesson();
    const Canvas edge = canvas.fitted(window, 60.0F, 34.0F);
    const float height = window.height();
    Box rest = window.shrunk(0.03F * window.width(), 0.0F);
    draw_head(canvas, desk, rest.take_top(0.085F * height));
    const Box foot = rest.take_bottom(2.8F * edge.em);
    edge.hairline(foot.x0, foot.y0, foot.x1, foot.y0);
    const auto [sentence, warns] = sentence_of(desk);
    draw_foot(edge, desk, foot, sentence, warns ? edge.colour.warning : edge.colour.ink_soft);
    if (!lesson.notes().empty()) {
        rest.take_bottom(0.012F * height);
        draw_lesson_strip(canvas, lesson, rest.take_bottom(0.30F * height));
        rest.take_bottom(0.015F * height);
    }
    if (const auto& choice = desk.pages().lesson.choice()) {
        draw_ask_choice(canvas, *choice, rest);
        return;
    }
    if (desk.pages().lesson.after()) {
        draw_after(edge, desk, rest);
        return;
    }
    if (lesson.asked()) {
        draw_asked(canvas, *lesson.asked(), rest.take_bottom(0.1F * height));
        rest.take_bottom(0.01F * height);
    }
    if (const desk::LessonNote* const framed = lesson.framed()) {
        draw_framed(canvas, *framed, lesson.two_sides(), rest);
    } else {
        draw_invitation(edge, desk, rest);
    }
}

} // namespace bellhand::gui
