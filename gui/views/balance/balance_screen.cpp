#include "core/calendar.h"
#include "desk/desk.h"
#include "desk/model/phrases.h"
#include "gui/views/page_parts.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"
#include "words/balance.h"
#include "words/cautions.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include <imgui.h>

namespace bellhand::gui {

namespace {

using pitch::PitchPoint;

constexpr double kLeastRange_cents = 20.0;
constexpr double kLeftRange_cents = 12.0; // of what is left beside the hand, to either side
constexpr double kLiveFrom_s = 0.4;       // a shorter tone is not drawn yet

/// Times and cents to places.
struct Plot {
    Box box;
    double from_s = 0.0;
    double to_s = 1.0;
    double low = 0.0;
    double high = 1.0;

    [[nodiscard]] float x(double time_s) const {
        return box.x0 + static_cast<float>((time_s - from_s) / (to_s - from_s)) * box.width();
    }
    [[nodiscard]] float y(double cents) const {
        const double inside = std::clamp(cents, low, high);
        return box.y1 - static_cast<float>((inside - low) / (high - low)) * box.height();
    }
};

Plot plot_of(const std::vector<PitchPoint>& points, const Box& box) {
    Plot plot{box, points.front().time_s, points.back().time_s, 1e9, -1e9};
    for (const PitchPoint& point : points) {
        plot.low = std::min(plot.low, point.cents);
        plot.high = std::max(plot.high, point.cents);
    }
    const double spare =
        std::max(0.08 * (plot.high - plot.low), 0.5 * (kLeastRange_cents - (plot.high - plot.low)));
    plot.low -= spare;
    plot.high += spare;
    plot.to_s = std::max(plot.to_s, plot.from_s + 0.1);
    return plot;
}

template <typename Value>
void draw_curve(const Canvas& canvas,
                const Plot& plot,
                const std::vector<PitchPoint>& points,
                const Value& value,
                Colour ink,
                float thickness) {
    std::vector<ImVec2> path;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const ImVec2 at(plot.x(points[i].time_s), plot.y(value(i)));
        if (path.empty() || at.x - path.back().x >= 1.0F) {
            path.push_back(at);
        }
    }
    if (path.size() > 1) {
        canvas.list.AddPolyline(path.data(), static_cast<int>(path.size()), ink, 0, thickness);
    }
}

void draw_caption(const Canvas& canvas, Box& box, const std::string& words) {
    const Box line = box.take_top(1.5F * canvas.em);
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       line.x0,
                       line.y0 + canvas.small_cap(),
                       line.width(),
                       canvas.colour.ink_soft,
                       words);
}

/// What was heard, the hand's own bend under it, and below what is left when that is taken away.
void draw_tone(const Canvas& canvas, const hand::Balance& balance, int chosen, Box box) {
    const float thick = std::max(2.0F, 0.15F * canvas.em);
    Box lower = box.take_bottom(0.42F * box.height());
    draw_caption(canvas, box, "pitch as heard (dark), and the hand's own bend (broad)");
    const Plot upper = plot_of(balance.heard, box);
    const auto bend = [&](std::size_t i) { return balance.hand_cents[i]; };
    draw_curve(canvas, upper, balance.heard, bend, canvas.colour.brass, 3.0F * thick);
    draw_curve(
        canvas,
        upper,
        balance.heard,
        [&](std::size_t i) { return balance.heard[i].cents; },
        canvas.colour.voice,
        thick);

    lower.take_top(0.9F * canvas.em);
    draw_caption(canvas, lower, "what is left beside it, 10 cents to either side");
    const Plot rest{lower, upper.from_s, upper.to_s, -kLeftRange_cents, kLeftRange_cents};
    for (const double cents : {-10.0, 10.0}) {
        canvas.hairline(lower.x0, rest.y(cents), lower.x1, rest.y(cents));
    }
    canvas.level_line(lower.x0, lower.x1, rest.y(0.0), canvas.colour.brass, canvas.hair());
    for (std::size_t i = 0; i < balance.moves.size(); ++i) {
        const hand::HandMove& move = balance.moves[i];
        if (static_cast<int>(i) == chosen && balance.moves.size() > 1) {
            canvas.fill(
                {rest.x(move.from_s), lower.y1 - 0.25F * canvas.em, rest.x(move.to_s), lower.y1},
                canvas.colour.brass);
        }
        if (move.jolted) {
            canvas.fill({rest.x(move.jolt_at_s - 0.5 * move.jolt_s),
                         lower.y0,
                         rest.x(move.jolt_at_s + 0.5 * move.jolt_s),
                         lower.y1},
                        canvas.colour.brass_soft);
        }
    }
    draw_curve(
        canvas,
        rest,
        balance.heard,
        [&](std::size_t i) { return balance.heard[i].cents - balance.hand_cents[i]; },
        canvas.colour.voice,
        thick);
}

/// The tone that sounds, as far as it has come.
void draw_live(const Canvas& canvas, const std::vector<PitchPoint>& points, Box box) {
    draw_caption(canvas, box, "sounding");
    const Plot plot = plot_of(points, box);
    draw_curve(
        canvas,
        plot,
        points,
        [&](std::size_t i) { return points[i].cents; },
        canvas.colour.voice,
        std::max(2.0F, 0.15F * canvas.em));
}

void draw_moves(const Canvas& canvas, desk::Desk& desk, const hand::Balance& balance, Box box) {
    const Box inside = draw_section(canvas, box, "changes of the hand");
    if (balance.moves.empty()) {
        canvas.paragraph(Face::text,
                         canvas.cap(),
                         inside,
                         canvas.colour.ink_soft,
                         "None in this tone: it serves as your own quiet long tone.");
        return;
    }
    desk::BalancePage& page = desk.pages().balance;
    const int clicked = draw_list(canvas,
                                  "moves",
                                  inside,
                                  static_cast<int>(balance.moves.size()),
                                  page.chosen(),
                                  2.2F * canvas.em,
                                  desk.sheet() == desk::Sheet::none,
                                  [&](int index, const Box& row, bool /*chosen*/) {
                                      const words::MoveWords words = words::move_words(
                                          balance.moves[static_cast<std::size_t>(index)]);
                                      draw_two_ends(canvas,
                                                    row,
                                                    row.middle_y() + 0.5F * canvas.cap(),
                                                    Face::text,
                                                    canvas.colour.ink,
                                                    words.jolt,
                                                    words.bend);
                                  });
    if (clicked >= 0) {
        page.choose(clicked);
    }
}

void draw_weeks(const Canvas& canvas, const desk::BalancePage& page, Box box) {
    Box inside = draw_section(canvas, box, "week by week");
    if (page.weeks().empty()) {
        canvas.paragraph(Face::text,
                         canvas.cap(),
                         inside,
                         canvas.colour.ink_soft,
                         "Nothing in the log yet: every tone that is listened to here is kept.");
        return;
    }
    const float height = 2.0F * canvas.em;
    const auto room = static_cast<std::size_t>(std::max(1.0F, inside.height() / height));
    const std::size_t first = page.weeks().size() - std::min(room, page.weeks().size());
    for (std::size_t i = first; i < page.weeks().size(); ++i) {
        const progress::BalanceWeek& week = page.weeks()[i];
        const Box row = inside.take_top(height);
        char left[48];
        std::snprintf(left,
                      sizeof left,
                      "%s: wobble %.1f cents",
                      calendar::day_name(week.monday).c_str(),
                      week.wobble_cents);
        const std::string right = week.told == 0
                                      ? std::string("no slow change")
                                      : std::to_string(week.jolts) +
                                            (week.jolts == 1 ? " jolt in " : " jolts in ") +
                                            std::to_string(week.told);
        draw_two_ends(canvas,
                      row,
                      row.middle_y() + 0.5F * canvas.cap(),
                      Face::text,
                      canvas.colour.ink,
                      left,
                      right);
    }
}

std::string second_line(const desk::BalancePage& page) {
    if (!page.problem().empty()) {
        return page.problem();
    }
    std::string words = page.ear().tone() ? words::still_words(page.ear().tone()->balance) : "";
    if (page.ear().quiet_cents() > 0.0) {
        char quiet[64];
        std::snprintf(
            quiet, sizeof quiet, "your quiet long tones: %.1f cents", page.ear().quiet_cents());
        words += (words.empty() ? "" : "; ") + std::string(quiet);
    }
    return words;
}

} // namespace

void draw_balance_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 58.0F, 40.0F);
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    rest = rest.shrunk(0.0F, 1.0F * em);
    const desk::BalancePage& page = desk.pages().balance;
    const auto& tone = page.ear().tone();
    const auto& live = page.ear().live();
    const bool sounding = !live.empty() && live.back().time_s - live.front().time_s >= kLiveFrom_s;

    // What it rests on and the caution stand at the foot, whatever else is there.
    const int lines =
        lines_of(canvas, Face::text, canvas.small_cap(), rest.width(), words::balance_basis());
    Box basis =
        rest.take_bottom(static_cast<float>(lines + 1) * 2.05F * canvas.small_cap() + 0.3F * em);
    basis.y0 =
        canvas.paragraph(
            Face::text, canvas.small_cap(), basis, canvas.colour.ink_soft, words::balance_basis()) -
        canvas.small_cap();
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       basis.x0,
                       basis.y0 + canvas.small_cap(),
                       basis.width(),
                       canvas.colour.ink,
                       words::short_cautions()[1].words);

    if (!tone && !sounding) {
        draw_empty(
            canvas,
            rest,
            "hold a note and move the hand",
            "Hold an open note for a second, close the hand over two seconds while the horn stays "
            "where it is, and hold on for another. What the pitch did beside the hand's own bend "
            "stands here when the tone ends. Enter plays an exercise for it.");
        return;
    }
    const float cap = 1.35F * canvas.cap();
    const Box head = rest.take_top(2.05F * cap + 0.3F * em);
    canvas.text_within(Face::music,
                       cap,
                       head.x0,
                       head.y0 + cap,
                       head.width(),
                       canvas.colour.ink,
                       sounding ? "listening" : words::balance_words(tone->balance));
    const Box second = rest.take_top(2.0F * em);
    canvas.text_within(Face::text,
                       canvas.cap(),
                       second.x0,
                       second.y0 + canvas.cap(),
                       second.width(),
                       page.problem().empty() ? canvas.colour.ink_soft : canvas.colour.warning,
                       second_line(page));
    Box lower = rest.take_bottom(std::max(7.5F * em, 0.32F * rest.height()));
    rest.take_bottom(0.8F * em);
    if (sounding) {
        draw_live(canvas, live, rest);
    } else {
        draw_tone(canvas, tone->balance, page.chosen(), rest);
    }
    const Box left = lower.take_left(0.52F * lower.width());
    lower.take_left(2.0F * em);
    if (tone) {
        draw_moves(canvas, desk, tone->balance, left);
    }
    draw_weeks(canvas, page, lower);
}

} // namespace bellhand::gui
