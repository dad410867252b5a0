#include "desk/model/piece_choice.h"
#include "desk/model/status_line.h"
#include "gui/views/page_parts.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

namespace bellhand::gui {

namespace {

using Page = desk::ChangesPage;

std::string seconds_text(double seconds) {
    char text[32];
    std::snprintf(text, sizeof text, "%.1f s", seconds);
    return text;
}

/// What stands at the foot: why something could not be done, else what is the matter with the input.
void draw_own_foot(const Canvas& canvas, desk::Desk& desk, const Box& foot) {
    const Page& page = desk.pages().changes;
    std::string words = page.problem();
    const bool listens = page.how() == Page::How::played && page.stage() != Page::Stage::over;
    const desk::StatusLine status = desk::status_line(
        desk.session().view(), desk.session().listening(), desk.session().problem());
    if (words.empty() && listens && status.warning) {
        words = status.words + " Naming the pieces needs no microphone.";
    }
    canvas.hairline(foot.x0, foot.y0, foot.x1, foot.y0);
    draw_foot(canvas, desk, foot, words, canvas.colour.warning);
}

/// "E♭" as large as it goes, "basso" under it.
void draw_key(const Canvas& canvas, const std::string& label, Box box) {
    const std::size_t space = label.find(' ');
    const std::string name = label.substr(0, space);
    const std::string family = space == std::string::npos ? "" : label.substr(space + 1);
    const Box under = family.empty() ? Box{} : box.take_bottom(0.24F * box.height());
    const float most = std::min(canvas.scale.large_note_cap_px(), 0.82F * box.height());
    const float cap = most * std::min(1.0F, box.width() / canvas.width(Face::music, most, name));
    canvas.text(Face::music,
                cap,
                box.x0,
                box.y0 + 0.5F * (box.height() + cap),
                Align::left,
                canvas.colour.ink,
                name);
    if (!family.empty()) {
        canvas.text(Face::remark,
                    0.62F * under.height(),
                    under.x0,
                    under.y0 + 0.72F * under.height(),
                    Align::left,
                    canvas.colour.ink,
                    family);
    }
}

/// A sentence as large as it fits in, so that it is read from a distance.
void draw_large_words(const Canvas& page, Box box, const std::string& words) {
    Canvas canvas = page;
    canvas.em = std::min(2.2F * page.em, 0.06F * box.width());
    const auto height = [&] {
        return 2.05F * canvas.cap() *
               static_cast<float>(lines_of(canvas, Face::text, canvas.cap(), box.width(), words));
    };
    while (height() > box.height() && canvas.em > 0.8F * page.em) {
        canvas.em *= 0.94F;
    }
    canvas.paragraph(Face::text, canvas.cap(), box, canvas.colour.ink, words);
}

/// The pieces of the box in one column, each with its key: to be chosen while a key is called, to be compared afterwards.
void draw_pieces(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    Page& page = desk.pages().changes;
    const instrument::HornLengths& horn = page.box()->lengths;
    const bool asked = page.stage() == Page::Stage::called && page.how() == Page::How::named;
    const instrument::Stack shown = asked ? page.named() : page.drill()->call().right;
    const int count = desk::pieces_of(horn);
    const float height =
        std::clamp(box.height() / static_cast<float>(count), 1.8F * canvas.em, 3.0F * canvas.em);
    const int clicked = draw_list(
        canvas,
        "mounted piece",
        box,
        count,
        asked ? page.piece() : -1,
        height,
        asked && desk.sheet() == desk::Sheet::none,
        [&](int index, const Box& row, bool /*chosen*/) {
            const float baseline = row.middle_y() + 0.5F * canvas.cap();
            float x = row.x0;
            if (asked && index < 10) {
                canvas.key_cap(x, baseline, std::string(1, desk::digit_of_piece(index)));
            }
            x += 3.0F * canvas.em;
            const bool on = desk::mounted_at(horn, shown, index);
            canvas.ring(
                x, row.middle_y(), 0.42F * canvas.em, canvas.colour.ink_soft, canvas.hair());
            if (on) {
                canvas.dot(x, row.middle_y(), 0.42F * canvas.em, canvas.colour.brass);
            }
            canvas.text_within(on ? Face::strong : Face::text,
                               1.1F * canvas.cap(),
                               x + 1.2F * canvas.em,
                               baseline,
                               row.x1 - x - 1.2F * canvas.em,
                               on || asked ? canvas.colour.ink : canvas.colour.ink_soft,
                               desk::piece_at(horn, index).name);
        });
    if (clicked >= 0) {
        page.toggle(clicked);
    }
}

void draw_head(const Canvas& canvas, const Page& page, Box box) {
    const auto& drill = *page.drill();
    const std::string place = page.stage() == Page::Stage::over
                                  ? ""
                                  : std::to_string(drill.calls().size() - drill.calls_left()) +
                                        " of " + std::to_string(drill.calls().size());
    const float cap = 1.25F * canvas.cap();
    const float baseline = box.y0 + 1.0F * canvas.em + cap;
    const float wide =
        canvas.text(Face::text, cap, box.x1, baseline, Align::right, canvas.colour.ink_soft, place);
    canvas.text_within(Face::music,
                       cap,
                       box.x0,
                       baseline,
                       box.width() - wide - canvas.em,
                       canvas.colour.ink,
                       page.what_words());
    canvas.hairline(box.x0, box.y1, box.x1, box.y1);
}

/// How long it has taken, and how much of the rest is over.
void draw_clock(const Canvas& canvas, const Page& page, Box box) {
    const instrument::ChangeCall& call = page.drill()->call();
    const float cap = std::min(canvas.scale.figure_cap_px(), 0.45F * box.height());
    const float baseline = box.y0 + cap + 0.4F * canvas.em;
    const float wide = canvas.text(Face::music,
                                   cap,
                                   box.x0,
                                   baseline,
                                   Align::left,
                                   canvas.colour.ink,
                                   seconds_text(page.clock_s()));
    if (!call.rest_s) {
        return;
    }
    char words[48];
    std::snprintf(words, sizeof words, "of %g s rest", *call.rest_s);
    canvas.text(Face::text,
                1.2F * canvas.cap(),
                box.x0 + wide + canvas.em,
                baseline,
                Align::left,
                canvas.colour.ink_soft,
                words);
    const Box bar{box.x0, baseline + 0.8F * canvas.em, box.x1, baseline + 1.3F * canvas.em};
    canvas.fill(bar, mixed(canvas.colour.paper, canvas.colour.rule, 0.6F), 0.5F * bar.height());
    const auto share =
        static_cast<float>(std::clamp(1.0 - page.clock_s() / *call.rest_s, 0.0, 1.0));
    if (share * bar.width() > bar.height()) {
        canvas.fill({bar.x0, bar.y0, bar.x0 + share * bar.width(), bar.y1},
                    canvas.colour.brass,
                    0.5F * bar.height());
    }
}

/// What is on the horn, and for which number: small print over the key.
std::string coming_from(const Page& page) {
    const instrument::ChangeCall& call = page.drill()->call();
    std::string words = call.number;
    if (call.from) {
        words += (words.empty() ? "" : ". ") + std::string("On the horn: ") +
                 instrument::describe(page.drill()->horn(), *call.from);
    }
    return words;
}

void draw_call(const Canvas& canvas, desk::Desk& desk, Box box) {
    Page& page = desk.pages().changes;
    const float em = canvas.em;
    const bool judged = page.stage() == Page::Stage::judged;
    Box right = box.take_right(std::clamp(0.36F * box.width(), 14.0F * em, 24.0F * em));
    box.take_right(2.0F * em);
    const Box from = box.take_top(2.6F * em);
    canvas.text_within(Face::text,
                       1.1F * canvas.cap(),
                       from.x0,
                       from.y0 + 1.6F * em,
                       from.width(),
                       canvas.colour.ink_soft,
                       coming_from(page));
    if (!judged) {
        draw_clock(canvas, page, box.take_bottom(std::max(5.0F * em, 0.2F * box.height())));
        draw_key(canvas, page.drill()->call().target.key.label, box);
        if (page.how() == Page::How::named) {
            draw_pieces(canvas, desk, draw_section(canvas, right, "what plus what?"));
            return;
        }
        draw_large_words(canvas,
                         draw_section(canvas, right, "mount it"),
                         "Set the slide, then hold one open note, written C4, for a second.");
        return;
    }
    const Box key = box.take_top(0.36F * box.height());
    draw_key(canvas, page.drill()->call().target.key.label, key);
    const std::string mended = page.mended().empty() ? "" : " Now: " + page.mended();
    draw_large_words(canvas, box.shrunk(0.0F, 0.6F * em), page.verdict_words() + mended);
    char title[64];
    std::snprintf(title,
                  sizeof title,
                  "right, with the slide at %.0f mm",
                  1000.0 * page.drill()->call().slide_m);
    draw_pieces(canvas, desk, draw_section(canvas, right, title));
}

/// How it went: a line a call, and what to practise.
void draw_over(const Canvas& canvas, const Page& page, Box box) {
    const float em = canvas.em;
    const instrument::ChangeDrill& drill = *page.drill();
    const float cap = std::min(canvas.scale.figure_cap_px(), 0.04F * box.width());
    box.take_top(0.8F * em);
    box.y0 = canvas.paragraph(Face::music,
                              cap,
                              {box.x0, box.y0, box.x1, box.y1},
                              canvas.colour.ink,
                              instrument::summary_words(drill)) +
             0.4F * em;
    const auto missed = drill.to_practise();
    std::string words = "Nothing is left to practise of these.";
    if (!missed.empty()) {
        words = "Practise: ";
        for (std::size_t i = 0; i < missed.size(); ++i) {
            words += (i > 0 ? "; " : "") + std::string(missed[i].target.key.label) + ", " +
                     instrument::describe(drill.horn(), missed[i].right);
        }
        words += ".";
    }
    box.y0 = canvas.paragraph(Face::text, 1.1F * canvas.cap(), box, canvas.colour.ink, words) +
             0.8F * em;
    const auto& results = drill.results();
    const Box list = draw_section(canvas, box, "every change");
    draw_list(canvas,
              "change",
              list,
              static_cast<int>(results.size()),
              -1,
              2.9F * em,
              false,
              [&](int index, const Box& row, bool /*chosen*/) {
                  const auto& result = results[static_cast<std::size_t>(index)];
                  const auto& call = drill.calls()[result.call];
                  const float first = row.y0 + 1.2F * em;
                  draw_two_ends(canvas,
                                row,
                                first,
                                Face::strong,
                                canvas.colour.ink,
                                std::string(call.target.key.label) +
                                    (call.number.empty() ? "" : ", " + call.number),
                                seconds_text(result.seconds));
                  draw_small(canvas,
                             row,
                             first + 1.2F * em,
                             instrument::in_words(drill.horn(), call, result));
              });
}

/// What is called and how it is answered, to be chosen.
void draw_choices(const Canvas& canvas, desk::Desk& desk, Box box) {
    Page& page = desk.pages().changes;
    const float em = canvas.em;
    const std::string how = page.how() == Page::How::named ? "name the pieces; no horn is needed"
                                                           : "mount them and play one open note";
    const std::string rows[] = {"What is called", page.what_words(), "How you answer", how};
    const Box list = box.take_top(7.0F * em);
    const int clicked = draw_list(canvas,
                                  "choice of changes",
                                  list,
                                  2,
                                  page.row(),
                                  3.4F * em,
                                  desk.sheet() == desk::Sheet::none,
                                  [&](int index, const Box& row, bool chosen) {
                                      const float baseline = row.middle_y() + 0.5F * canvas.cap();
                                      const auto at = static_cast<std::size_t>(2 * index);
                                      canvas.text(Face::text,
                                                  canvas.cap(),
                                                  row.x0,
                                                  baseline,
                                                  Align::left,
                                                  canvas.colour.ink_soft,
                                                  rows[at]);
                                      canvas.text_within(chosen ? Face::strong : Face::text,
                                                         1.1F * canvas.cap(),
                                                         row.x0 + 10.0F * em,
                                                         baseline,
                                                         row.width() - 10.0F * em,
                                                         canvas.colour.ink,
                                                         rows[at + 1]);
                                  });
    if (clicked >= 0) {
        if (clicked == page.row()) {
            page.turn_row(1);
        }
        page.choose_row(clicked);
    }
    box.take_top(1.4F * em);
    box.x1 = std::min(box.x1, box.x0 + 46.0F * em);
    const auto say = [&](const std::string& words) {
        box.y0 =
            canvas.paragraph(Face::text, canvas.cap(), box, canvas.colour.ink, words) + 0.7F * em;
    };
    const desk::ChangeBox& own = *page.box();
    say(own.own ? "The box: " + own.name + "."
                : "The box: " + own.name +
                      ". It comes with the program and is not yours. Open the profile of your own "
                      "horn (drop the file on the window, or type its path under I); until then no "
                      "piece is named for a note that is off, only how far it is off.");
    say("A key is called and the clock runs. Whatever stands in the key is right, not only the "
        "stack that is shown. One note tells a wrong coupler, not five cents.");
    say("For tonight's changes drop your set list on the window, or type its path under I.");
}

} // namespace

void draw_changes_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Page& page = desk.pages().changes;
    const Canvas canvas = page_canvas.fitted(window, 56.0F, 34.0F);
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    const bool choosing =
        page.stage() == Page::Stage::ready || page.stage() == Page::Stage::planning;
    if (choosing) {
        draw_frame_of_page(canvas, desk, rest, window);
        rest = rest.shrunk(0.0F, 1.2F * em);
        if (page.stage() == Page::Stage::planning) {
            draw_empty(canvas, rest, "planning the changes", "A large box takes some seconds.");
        } else if (page.box() == nullptr) {
            draw_empty(canvas, rest, "no box of crooks", page.problem());
        } else {
            draw_sentence(canvas, rest, page.problem(), "");
            draw_choices(canvas, desk, draw_section(canvas, rest, "crook changes"));
        }
        return;
    }
    draw_head(canvas, page, rest.take_top(3.4F * em));
    draw_own_foot(canvas, desk, rest.take_bottom(2.8F * em));
    rest = rest.shrunk(0.0F, 0.6F * em);
    if (page.stage() == Page::Stage::over) {
        draw_over(canvas, page, rest);
    } else {
        draw_call(canvas, desk, rest);
    }
}

} // namespace bellhand::gui
