#include "desk/model/exercise_page.h"
#include "desk/model/phrases.h"
#include "desk/model/status_line.h"
#include "gui/views/octave.h"
#include "gui/views/page_parts.h"
#include "gui/views/run/run_staff.h"
#include "gui/views/views.h"
#include "report/text.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace bellhand::gui {

namespace {

/// The exercises of the plan as a row of small marks: done filled, this one framed, those to come hollow.
void draw_items(const Canvas& canvas, const desk::RunView& view, float right, float y) {
    constexpr int kMost = 24;
    if (view.blocks > kMost) {
        return;
    }
    const float radius = 0.32F * canvas.em;
    const float step = 1.15F * canvas.em;
    float x = right - step * static_cast<float>(view.blocks - 1) - radius;
    for (int i = 0; i < view.blocks; ++i, x += step) {
        if (i < view.block) {
            canvas.dot(x, y, radius, canvas.colour.brass);
        } else if (i == view.block) {
            canvas.dot(x, y, 0.5F * radius, canvas.colour.brass);
            canvas.ring(x, y, 1.5F * radius, canvas.colour.brass, 0.14F * canvas.em);
        } else {
            canvas.ring(x, y, radius, canvas.colour.ink_soft, canvas.hair());
        }
    }
}

void draw_head(const Canvas& canvas, const desk::RunView& view, Box box) {
    const float em = canvas.em;
    const float title_cap = 1.5F * canvas.cap();
    const float title = box.y0 + 0.9F * em + title_cap;
    Box right = box.take_right(13.0F * em);
    canvas.text_within(Face::music,
                       title_cap,
                       box.x0,
                       title,
                       box.width() - 2.0F * em,
                       canvas.colour.ink,
                       view.exercise.title);
    canvas.text_within(Face::text,
                       canvas.cap(),
                       box.x0,
                       title + 1.85F * em,
                       box.width() - 2.0F * em,
                       canvas.colour.ink_soft,
                       desk::run_conditions(view));
    canvas.text_within(Face::text,
                       canvas.cap(),
                       box.x0,
                       title + 3.5F * em,
                       right.x1 - box.x0,
                       canvas.colour.ink,
                       view.player);
    draw_items(canvas, view, right.x1 - 0.3F * em, title - 0.5F * title_cap);
    canvas.text(Face::text,
                canvas.played_cap(),
                right.x1,
                title + 1.85F * em,
                Align::right,
                canvas.colour.ink_soft,
                report::clock_text(std::ceil(view.left_s)) + " to go");
    canvas.hairline(box.x0, box.y1, right.x1, box.y1);
}

/// The size at which words are no wider than their room.
float fitting(
    const Canvas& canvas, Face face, float cap_px, const Box& room, const std::string& words) {
    return cap_px * std::min(1.0F, room.width() / canvas.width(face, cap_px, words));
}

/// The hand that comes next leads the page; its note stands under it. What changes is drawn large and marked, what stays
/// is drawn softly.
void draw_hand(const Canvas& canvas, const desk::RunView& view, const Box& box) {
    if (view.next >= view.exercise.steps.size() || !view.exercise.steps[view.next].written) {
        return;
    }
    const drill::Step& step = view.exercise.steps[view.next];
    const bool changes = desk::hand_changes(view);
    const Colour ink = changes ? canvas.colour.ink : canvas.colour.ink_soft;
    const std::string signs = desk::step_hand_signs(step);
    const float em = canvas.em;
    const float note_cap = std::min(canvas.scale.figure_cap_px(), 0.3F * box.width());
    const float words_cap = 1.5F * canvas.cap();
    float sign_cap =
        std::min((changes ? 1.5F : 1.0F) * canvas.scale.large_figure_cap_px(), 0.4F * box.height());
    sign_cap *= std::min(1.0F, 0.75F * box.width() / canvas.hand_sign_width(signs, sign_cap));

    const float between = 1.3F * em;
    const float total = 2.0F * words_cap + sign_cap + 3.0F * between + note_cap;
    const float x = box.middle_x();
    float y = box.middle_y() - 0.5F * total + words_cap;
    // While a note sounds, what stands here is of the one after it.
    const std::string caption =
        std::string(view.sounding ? "next: " : "") + (changes ? "hand to" : "hand stays");
    canvas.text(Face::remark,
                fitting(canvas, Face::remark, words_cap, box, caption),
                x,
                y,
                Align::middle,
                canvas.colour.ink_soft,
                caption);
    y += between;
    if (changes) {
        const float half = 0.5F * canvas.hand_sign_width(signs, sign_cap) + 0.35F * sign_cap;
        const Box field{x - half, y - 0.5F * em, x + half, y + sign_cap + 0.7F * em};
        canvas.fill(field, canvas.colour.brass_soft, 0.15F * sign_cap);
        canvas.fill({field.x0, field.y1 - 0.25F * em, field.x1, field.y1}, canvas.colour.brass);
    }
    canvas.hand_sign(signs, sign_cap, x, y + 0.5F * sign_cap, Align::middle, ink);
    y += sign_cap + between + words_cap;
    const std::string words = desk::step_hand_words(step);
    canvas.text(Face::music,
                fitting(canvas, Face::music, words_cap, box, words),
                x,
                y,
                Align::middle,
                ink,
                words);
    draw_note_and_octave(canvas,
                         *step.written,
                         note_cap,
                         x,
                         y + between + note_cap,
                         Align::middle,
                         canvas.colour.ink);
}

/// What came of the last note, how it was held, and the score, each in words.
void draw_told(const Canvas& canvas, const desk::RunView& view, Box box) {
    const float em = canvas.em;
    const Box last = box.take_bottom(2.0F * em);
    const float cap = std::max(1.15F * canvas.cap(), Canvas::kPlayed_px);
    const float baseline = last.y1 - 0.6F * em;
    const float room = canvas.text(
        Face::text, cap, last.x1, baseline, Align::right, canvas.colour.ink, desk::run_score(view));
    canvas.text_within(Face::text,
                       cap,
                       last.x0,
                       baseline,
                       last.width() - room - 2.0F * em,
                       canvas.colour.ink,
                       view.remark.empty() ? view.moved : view.remark);
    if (!view.last_judged) {
        return;
    }
    const float mark = 0.5F * std::min(box.height(), 1.6F * canvas.scale.figure_cap_px());
    draw_verdict_mark(canvas,
                      view.newest,
                      {box.x0, box.middle_y() - mark, box.x0 + 1.3F * mark, box.middle_y() + mark});
    box.take_left(2.0F * mark);
    // As large as two lines of it may be.
    float said = 0.62F * canvas.scale.figure_cap_px();
    while (said > canvas.cap() &&
           static_cast<float>(lines_of(canvas, Face::music, said, box.width(), view.told)) * 2.0F *
                   said >
               box.height()) {
        said *= 0.92F;
    }
    const auto lines =
        static_cast<float>(lines_of(canvas, Face::music, said, box.width(), view.told));
    box.y0 = box.middle_y() - 0.5F * (2.05F * lines - 1.05F) * said;
    canvas.paragraph(Face::music, said, box, canvas.colour.ink, view.told);
}

void draw_band(const Canvas& canvas, const desk::RunView& view, Box box) {
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    const desk::RunWords words = desk::run_words(view);
    if (words.large.empty()) {
        draw_told(canvas, view, box);
        return;
    }
    const float cap = canvas.scale.figure_cap_px();
    if (view.stage == desk::RunStage::count_in) {
        // The beats that are still to come, one mark each.
        const float step = 2.2F * cap;
        float x =
            box.middle_x() - 0.5F * step * static_cast<float>(view.exercise.metre.clicks() - 1);
        for (int beat = view.exercise.metre.clicks(); beat > 0; --beat, x += step) {
            if (beat > view.beats_to_go) {
                canvas.dot(x, box.middle_y(), 0.5F * cap, canvas.colour.ink);
            } else {
                canvas.ring(x, box.middle_y(), 0.5F * cap, canvas.colour.ink_soft, 0.1F * cap);
            }
        }
        return;
    }
    const bool two = !words.small.empty() && box.height() > cap + 2.8F * canvas.em;
    const float baseline = two ? box.y0 + 0.5F * (box.height() - cap - 2.2F * canvas.em) + cap
                               : box.middle_y() + 0.5F * cap;
    const float wide = canvas.width(Face::music, cap, words.large);
    const float fitting = cap * std::min(1.0F, box.width() / wide);
    canvas.text(
        Face::music, fitting, box.x0, baseline, Align::left, canvas.colour.ink, words.large);
    if (two) {
        canvas.text_within(Face::text,
                           1.1F * canvas.cap(),
                           box.x0,
                           baseline + 2.1F * canvas.em,
                           box.width(),
                           canvas.colour.ink_soft,
                           words.small);
    }
}

void draw_block_summary(const Canvas& canvas, const run::BlockSummary& summary, const Box& row) {
    const float em = canvas.em;
    const float cap = 1.15F * canvas.cap();
    canvas.text_within(Face::music,
                       cap,
                       row.x0,
                       row.y0 + 0.7F * em + cap,
                       row.width(),
                       canvas.colour.ink,
                       summary.title);
    canvas.text_within(Face::text,
                       canvas.cap(),
                       row.x0,
                       row.y0 + 2.5F * em + cap,
                       row.width(),
                       canvas.colour.ink_soft,
                       summary.text);
    canvas.hairline(row.x0, row.y1, row.x1, row.y1);
}

void draw_rest_page(const Canvas& canvas, const desk::RunView& view, Box box) {
    const float em = canvas.em;
    const Box left = box.take_left(0.46F * box.width());
    box.take_left(2.0F * em);
    const float cap = std::min(canvas.scale.large_figure_cap_px(), 0.2F * left.width());
    const float baseline = left.y0 + 0.42F * left.height();
    canvas.text(Face::remark,
                1.5F * canvas.cap(),
                left.x0,
                baseline - cap - 1.2F * em,
                Align::left,
                canvas.colour.ink_soft,
                "rest");
    canvas.text(Face::music,
                cap,
                left.x0,
                baseline,
                Align::left,
                canvas.colour.ink,
                desk::run_words(view).large);
    // How much of it is over: a bar that empties.
    const Box bar{left.x0, baseline + 1.4F * em, left.x1, baseline + 1.9F * em};
    canvas.fill(bar, mixed(canvas.colour.paper, canvas.colour.rule, 0.6F), 0.25F * em);
    if (view.rest_s > 0.0) {
        const auto share = static_cast<float>(std::clamp(view.rest_left_s / view.rest_s, 0.0, 1.0));
        if (share * bar.width() > 0.5F * em) {
            canvas.fill({bar.x0, bar.y0, bar.x0 + share * bar.width(), bar.y1},
                        canvas.colour.brass,
                        0.25F * em);
        }
    }
    if (!view.next_title.empty()) {
        Box next{left.x0, bar.y1 + 2.2F * em, left.x1, left.y1};
        canvas.text(Face::text,
                    canvas.cap(),
                    next.x0,
                    next.y0 + canvas.cap(),
                    Align::left,
                    canvas.colour.ink_soft,
                    "then");
        next.take_top(1.9F * em);
        canvas.text_within(Face::music,
                           1.5F * canvas.cap(),
                           next.x0,
                           next.y0 + 1.5F * canvas.cap(),
                           next.width(),
                           canvas.colour.ink,
                           view.next_title);
        if (!view.next_crook.empty()) {
            next.take_top(2.6F * em);
            canvas.text(Face::text,
                        canvas.cap(),
                        next.x0,
                        next.y0 + canvas.cap(),
                        Align::left,
                        canvas.colour.ink,
                        "Change to the " + view.next_crook + " crook.");
        }
    }
    Canvas larger = canvas; // read at arm's length, horn in the lap
    larger.em *= 1.25F;
    box.take_top(1.2F * em);
    if (!view.summaries.empty()) {
        Box last = box.take_top(4.4F * larger.em);
        draw_block_summary(larger, view.summaries.back(), last);
        box.take_top(1.2F * em);
    }
    draw_cautions(larger, box);
}

void draw_done_page(const Canvas& canvas, const desk::RunView& view, Box box) {
    const float em = canvas.em;
    box.take_top(1.5F * em);
    const float cap = std::min(canvas.scale.figure_cap_px(), 0.045F * box.width());
    const desk::RunWords words = desk::run_words(view);
    canvas.text(
        Face::music, cap, box.x0, box.y0 + cap, Align::left, canvas.colour.ink, words.large);
    box.take_top(cap + 1.4F * em);
    if (!words.small.empty()) {
        canvas.text_within(Face::text,
                           1.1F * canvas.cap(),
                           box.x0,
                           box.y0 + 1.1F * canvas.cap(),
                           box.width(),
                           canvas.colour.ink_soft,
                           words.small);
    }
    box.take_top(3.0F * em);
    const Box right = box.take_right(0.42F * box.width());
    box.take_right(2.6F * em);
    draw_cautions(canvas, right);
    for (const run::BlockSummary& summary : view.summaries) {
        if (box.height() < 4.0F * em) {
            break;
        }
        draw_block_summary(canvas, summary, box.take_top(4.0F * em));
    }
}

/// What is the matter, as far as it does not stand elsewhere: the log, the input, or that a take was kept.
std::string run_remark(const desk::Desk& desk) {
    if (desk.session().just_kept()) {
        return "The last two minutes are kept as a take.";
    }
    const desk::StatusLine status = desk::status_line(
        desk.session().view(), desk.session().listening(), desk.session().problem());
    return status.warning ? status.words : std::string();
}

} // namespace

void draw_run_screen(const Canvas& canvas, desk::Desk& desk, const Box& window) {
    const desk::RunView& view = desk.pages().run.view();
    const Canvas edge = canvas.fitted(window, 56.0F, 34.0F);
    const float em = edge.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_head(edge, view, rest.take_top((view.player.empty() ? 5.0F : 6.6F) * em));
    const Box foot = rest.take_bottom(2.8F * em);
    edge.hairline(foot.x0, foot.y0, foot.x1, foot.y0);
    draw_foot(edge, desk, foot, run_remark(desk), edge.colour.warning);
    switch (view.stage) {
    case desk::RunStage::rest:
        draw_rest_page(edge, view, rest.shrunk(0.0F, 1.0F * em));
        return;
    case desk::RunStage::done:
        draw_done_page(edge, view, rest);
        return;
    default:
        break;
    }
    const float band = std::min(0.28F * rest.height(), edge.scale.figure_cap_px() + 3.4F * em);
    draw_band(edge, view, rest.take_bottom(band));
    draw_hand(edge, view, rest.take_left(0.22F * rest.width()));
    rest.take_left(1.5F * em);
    draw_run_staff(edge, view, rest.shrunk(0.0F, 0.4F * em));
}

} // namespace bellhand::gui
