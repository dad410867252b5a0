#include "desk/model/phrases.h"
#include "gui/views/page_parts.h"
#include "gui/views/run/run_staff.h"
#include "gui/views/views.h"

#include <algorithm>

namespace bellhand::gui {

namespace {

/// One block: number or tick, title, crook and times, and why.
void draw_block(
    const Canvas& canvas, const skill::PlannedBlock& block, int number, bool done, const Box& row) {
    const float em = canvas.em;
    const float cap = 1.15F * canvas.cap();
    const float first = row.y0 + 0.75F * em + cap;
    const float second = first + 1.85F * em;
    const float indent = 2.4F * em;
    const Colour ink = done ? canvas.colour.ink_soft : canvas.colour.ink;
    if (done) {
        // A tick.
        const float y = first - 0.5F * cap;
        const float thick = std::max(2.0F, 0.16F * em);
        canvas.line(row.x0, y, row.x0 + 0.35F * em, y + 0.4F * em, ink, thick);
        canvas.line(
            row.x0 + 0.35F * em, y + 0.4F * em, row.x0 + 1.1F * em, y - 0.5F * em, ink, thick);
    } else {
        canvas.text(Face::music,
                    cap,
                    row.x0,
                    first,
                    Align::left,
                    canvas.colour.brass,
                    std::to_string(number));
    }
    const std::string times =
        desk::span_words(block.play_s) +
        (block.rest_s > 0.0 ? ", rest " + desk::span_words(block.rest_s) : "");
    const float times_wide = canvas.width(Face::text, canvas.cap(), times);
    canvas.text(Face::text, canvas.cap(), row.x1, first, Align::right, ink, times);
    const std::string crook = std::string("in ") + block.crook.label;
    const float crook_wide = canvas.width(Face::text, canvas.cap(), crook);
    const float room = row.width() - indent - times_wide - crook_wide - 2.4F * em;
    const float title_wide = std::min(room, canvas.width(Face::music, cap, block.exercise.title));
    canvas.text_within(Face::music, cap, row.x0 + indent, first, room, ink, block.exercise.title);
    canvas.text(Face::text,
                canvas.cap(),
                row.x0 + indent + title_wide + 0.8F * em,
                first,
                Align::left,
                canvas.colour.ink_soft,
                crook);
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       row.x0 + indent,
                       second,
                       row.width() - indent,
                       canvas.colour.ink_soft,
                       block.why);
}

void draw_plan(const Canvas& canvas, desk::Desk& desk, Box box) {
    const float em = canvas.em;
    desk::TodayPage& page = desk.pages().today;
    const Box head = box.take_top(5.9F * em);
    const float cap = 1.9F * canvas.cap();
    const std::string minutes = std::to_string(static_cast<int>(page.minutes())) + " minutes";
    const float after =
        head.x0 +
        canvas.text(
            Face::music, cap, head.x0, head.y0 + cap, Align::left, canvas.colour.ink, minutes);
    canvas.text_within(Face::text,
                       canvas.cap(),
                       after + em,
                       head.y0 + cap,
                       head.x1 - after - em,
                       canvas.colour.ink_soft,
                       desk::plan_words(page.plan()));
    canvas.text_within(Face::remark,
                       1.05F * canvas.cap(),
                       head.x0,
                       head.y0 + cap + 1.9F * em,
                       head.width(),
                       canvas.colour.ink_soft,
                       "Space begins; after that both hands stay on the horn");
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       head.x0,
                       head.y0 + cap + 3.5F * em,
                       head.width(),
                       canvas.colour.ink_soft,
                       desk::strictness_words(desk.session().tolerance_factor()));
    const auto& blocks = page.plan().blocks;
    const int clicked = draw_list(canvas,
                                  "block",
                                  box,
                                  static_cast<int>(blocks.size()),
                                  page.chosen(),
                                  4.2F * em,
                                  desk.sheet() == desk::Sheet::none,
                                  [&](int index, const Box& row, bool) {
                                      const auto at = static_cast<std::size_t>(index);
                                      draw_block(canvas, blocks[at], index + 1, page.done(at), row);
                                  });
    if (clicked >= 0) {
        page.choose(clicked);
    }
}

/// The chosen block: its notes, what it is good for, why today.
void draw_chosen(const Canvas& canvas, const skill::PlannedBlock& block, Box box) {
    box = draw_section(canvas, box, block.exercise.title);
    draw_marked_staff(canvas, block.exercise, {}, std::nullopt, box.take_top(0.6F * box.height()));
    box.take_top(0.8F * canvas.em);
    for (const std::string& words : {block.exercise.purpose, block.why}) {
        if (!words.empty() && box.height() > 1.5F * canvas.em) {
            box.y0 = canvas.paragraph(Face::text, canvas.cap(), box, canvas.colour.ink, words) +
                     0.2F * canvas.em;
        }
    }
}

} // namespace

void draw_today_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 54.0F, 33.0F);
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    const desk::TodayPage& page = desk.pages().today;
    draw_frame_of_page(canvas, desk, rest, window);
    rest = rest.shrunk(0.0F, 1.2F * em);
    Box side = rest.take_right(0.4F * rest.width());
    rest.take_right(2.6F * em);
    const Box cautions = side.take_bottom(std::min(17.0F * em, 0.56F * side.height()));
    draw_cautions(canvas, draw_section(canvas, cautions, "before you play"));
    if (page.plan().blocks.empty()) {
        draw_empty(canvas,
                   rest,
                   page.problem().empty() ? "nothing planned" : "no plan today",
                   page.problem().empty()
                       ? "Press E to choose an exercise yourself, or Right for more minutes."
                       : page.problem());
        return;
    }
    draw_plan(canvas, desk, rest);
    draw_chosen(canvas, page.plan().blocks[static_cast<std::size_t>(page.chosen())], side);
}

} // namespace bellhand::gui
