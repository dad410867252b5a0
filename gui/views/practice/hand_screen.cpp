#include "desk/model/phrases.h"
#include "gui/views/octave.h"
#include "gui/views/page_parts.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"
#include "words/hand.h"
#include "words/verdict.h"

#include <algorithm>

namespace bellhand::gui {

namespace {

constexpr float kNarrowTrack_em = 5.5F;

/// One note of the list: name, what was asked, what was heard, cents.
void draw_row(const Canvas& canvas, const trainer::PlayedNote& note, Box row) {
    const float baseline = row.middle_y() + 0.5F * canvas.cap();
    draw_note_and_octave(canvas,
                         note.written,
                         1.08F * canvas.cap(),
                         row.x0,
                         baseline,
                         Align::left,
                         canvas.colour.ink);
    canvas.hand_sign(horn::hand_sign(note.hand),
                     canvas.cap(),
                     row.x0 + 3.2F * canvas.em,
                     row.middle_y(),
                     Align::middle,
                     canvas.colour.ink);
    canvas.text(Face::strong,
                canvas.cap(),
                row.x1,
                baseline,
                Align::right,
                canvas.colour.ink,
                desk::signed_cents(note.deviation_cents));
    row.take_left(4.6F * canvas.em);
    row.take_right(3.0F * canvas.em);
    if (note.heard.heard && row.width() > kNarrowTrack_em * canvas.em) {
        draw_small(canvas, row, baseline, words::heard_words(note.heard.estimate));
    }
}

void draw_list(const Canvas& canvas, desk::Desk& desk, Box box) {
    const trainer::PlayedNote* chosen = desk.pages().hand.note();
    const float row_height = 2.15F * canvas.em;
    const Box head = box.take_top(2.2F * canvas.em);
    draw_small_heading(canvas, head, "asked, heard, cents");
    // The chosen one stays in sight.
    std::vector<const trainer::PlayedNote*> notes;
    std::size_t at = 0;
    for (const trainer::PlayedNote& note : desk.session().view().notes()) {
        if (note.finished) {
            at = &note == chosen ? notes.size() : at;
            notes.push_back(&note);
        }
    }
    const auto visible = static_cast<std::size_t>(std::max(1.0F, box.height() / row_height));
    const std::size_t first = at < visible ? 0 : at - visible + 1;
    for (std::size_t i = first; i < std::min(notes.size(), first + visible); ++i) {
        const Box row = box.take_top(row_height);
        if (row.y1 > box.y1 + 1.0F) {
            break;
        }
        if (notes[i] == chosen) {
            canvas.fill({row.x0 - 0.6F * canvas.em, row.y0, row.x1, row.y1},
                        canvas.colour.brass_soft,
                        0.2F * canvas.em);
            canvas.fill({row.x0 - 0.6F * canvas.em, row.y0, row.x0 - 0.3F * canvas.em, row.y1},
                        canvas.colour.brass);
        }
        draw_row(canvas, *notes[i], row.shrunk(0.2F * canvas.em, 0.0F));
        canvas.hairline(row.x0, row.y1, row.x1, row.y1);
        const std::string id = "played " + std::to_string(notes[i]->index);
        if (desk.sheet() == desk::Sheet::none && hot_spot(id.c_str(), row)) {
            desk.pages().hand.choose(notes[i]->index);
        }
    }
}

void draw_figures(const Canvas& canvas,
                  Box box,
                  const char* heading,
                  const std::vector<words::Figure>& figures,
                  const char* otherwise) {
    draw_small_heading(canvas, box, heading);
    box.take_top(1.9F * canvas.em);
    if (figures.empty()) {
        canvas.paragraph(Face::text, canvas.small_cap(), box, canvas.colour.ink_soft, otherwise);
        return;
    }
    const float least = 2.75F * canvas.em;
    bool first = true;
    for (const words::Figure& figure : figures) {
        if (box.height() < least) {
            break;
        }
        canvas.text(Face::text,
                    canvas.small_cap(),
                    box.x0,
                    box.y0 + canvas.small_cap(),
                    Align::left,
                    canvas.colour.ink_soft,
                    figure.name);
        box.take_top(1.15F * canvas.em);
        const bool long_words =
            canvas.width(Face::strong, canvas.cap(), figure.value) > box.width();
        if (long_words) {
            box.y0 = canvas.paragraph(
                         Face::text, canvas.small_cap(), box, canvas.colour.ink, figure.value) -
                     canvas.small_cap() + 0.5F * canvas.em;
        } else {
            canvas.text(first ? Face::strong : Face::text,
                        canvas.cap(),
                        box.x0,
                        box.y0 + canvas.cap(),
                        Align::left,
                        canvas.colour.ink,
                        figure.value);
            box.take_top(1.6F * canvas.em);
        }
        first = false;
    }
}

/// Name and place of the note, and the range beside it.
void draw_title(const Canvas& canvas, const trainer::PlayedNote& note, Box box) {
    const float cap = 2.6F * canvas.em;
    Box name = box.take_left(std::min(15.0F * canvas.em, 0.45F * box.width()));
    const float after = note_and_octave_width(canvas, note.written, cap) + 1.0F * canvas.em;
    draw_note_and_octave(
        canvas, note.written, cap, name.x0, name.y0 + cap, Align::left, canvas.colour.ink);
    const float x = name.x0 + after;
    const auto line = [&](float baseline, Face face, const std::string& words) {
        canvas.text_within(face, canvas.cap(), x, baseline, name.x1 - x, canvas.colour.ink, words);
    };
    line(name.y0 + canvas.cap(),
         Face::text,
         words::ordinal(note.partial) + ", " + desk::hand_words(note.written));
    line(name.y0 + cap, Face::strong, words::off_pitch(note.deviation_cents));
    box.take_left(1.5F * canvas.em);
    std::optional<desk::ShownHand> heard;
    if (note.heard.heard) {
        heard = desk::ShownHand{note.heard.estimate, note.heard.intent, true};
    }
    const std::string remark = heard ? words::heard_remark(heard->estimate, heard->asked)
                                     : std::string("too short to hear the hand");
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       box.x0,
                       box.y0 + canvas.small_cap(),
                       box.width(),
                       canvas.colour.ink_soft,
                       heard ? "heard: " + words::heard_words(heard->estimate) +
                                   (remark.empty() ? "" : "; " + remark)
                             : remark);
    box.take_top(1.3F * canvas.em);
    draw_hand_range(canvas, heard, box, canvas.small_cap());
}

void draw_learnt(const Canvas& canvas, const desk::Desk& desk, Box box) {
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    box.take_top(0.6F * canvas.em);
    const hand::OpenReference learnt = desk.session().learnt();
    std::string words = words::learnt_words(learnt);
    if (!desk.session().learnt_problem().empty()) {
        words = desk.session().learnt_problem();
    } else if (learnt.notes > 0) {
        words += desk.session().players_horn().lasts()
                     ? " Kept in your profile when the session ends."
                     : " Kept until the program ends: there is no profile of your own horn.";
    }
    const float baseline = box.y0 + canvas.cap();
    canvas.paragraph(Face::text,
                     canvas.small_cap(),
                     {box.x0, baseline - canvas.small_cap(), box.x1, box.y1},
                     desk.session().learnt_problem().empty() ? canvas.colour.ink_soft
                                                             : canvas.colour.warning,
                     words);
}

} // namespace

void draw_hand_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 60.0F, 36.0F);
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    draw_learnt(canvas, desk, rest.take_bottom(3.6F * em));
    rest = rest.shrunk(0.0F, 1.2F * em);
    draw_list(canvas, desk, rest.take_left(17.0F * em));
    rest.take_left(2.4F * em);

    const trainer::PlayedNote* note = desk.pages().hand.note();
    if (note == nullptr) {
        canvas.text(Face::remark,
                    1.5F * canvas.cap(),
                    rest.x0,
                    rest.y0 + 4.0F * em,
                    Align::left,
                    canvas.colour.ink_soft,
                    "play a note");
        rest.take_top(5.5F * em);
        canvas.paragraph(Face::text,
                         canvas.cap(),
                         {rest.x0, rest.y0, std::min(rest.x1, rest.x0 + 34.0F * em), rest.y1},
                         canvas.colour.ink,
                         "When it has ended, this page says what the hand did, how the note was "
                         "held and how it matches "
                         "the one before.");
        return;
    }
    draw_title(canvas, *note, rest.take_top(4.6F * em));
    rest.take_top(0.9F * em);
    draw_advice(canvas, *note, rest.take_top(3.4F * em));
    rest.take_top(0.6F * em);
    canvas.hairline(rest.x0, rest.y0, rest.x1, rest.y0);
    rest.take_top(0.9F * em);
    const float gap = 1.6F * em;
    const float third = (rest.width() - 2.0F * gap) / 3.0F;
    const Box held = rest.take_left(third);
    rest.take_left(gap);
    const Box change = rest.take_left(third);
    rest.take_left(gap);
    draw_figures(canvas,
                 held,
                 "how it was held",
                 words::steadiness_figures(note->heard, desk.session().view().motion_of(*note)),
                 "Too short to tell: half a second at least.");
    draw_figures(canvas,
                 change,
                 "how the hand changed",
                 words::change_figures(note->heard),
                 "Shown where two notes are slurred.");
    draw_figures(canvas,
                 rest,
                 "open against stopped",
                 words::match_figures(note->heard),
                 "Shown where an open and a stopped note follow each other.");
}

} // namespace bellhand::gui
