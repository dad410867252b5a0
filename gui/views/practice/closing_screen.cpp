#include "desk/model/phrases.h"
#include "gui/views/views.h"
#include "words/verdict.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include <imgui.h>

namespace bellhand::gui {

namespace {

/// Turns closure and cents into places in the window.
struct Plot {
    Box box;
    double lowest_cents;
    double highest_cents;

    [[nodiscard]] float x(double closure) const noexcept {
        return box.x0 + static_cast<float>(closure) * box.width();
    }
    [[nodiscard]] float y(double cents) const noexcept {
        const double share = (highest_cents - cents) / (highest_cents - lowest_cents);
        return box.y0 + static_cast<float>(std::clamp(share, 0.0, 1.0)) * box.height();
    }
};

double lowest_of(const desk::Desk& desk, int partial) {
    const desk::SlowClosing& closing = desk.pages().closing.closing();
    double lowest = -120.0;
    const auto reach = [&lowest](double cents) { lowest = std::min(lowest, cents); };
    if (partial >= 2) {
        const auto at = static_cast<std::size_t>(partial - 1);
        reach(desk.pages().closing.prediction().modelled.fall_cents[at].back());
        if (desk.pages().closing.prediction().own) {
            reach(desk.pages().closing.prediction().own->fall_cents[at].back());
        }
    }
    if (closing.result() && closing.result()->partial == partial) {
        reach(closing.result()->fall_cents);
    }
    for (const desk::LivePoint& point : closing.live()) {
        reach(std::max(point.cents, -1200.0));
    }
    return 1.12 * lowest;
}

void draw_axes(const Canvas& canvas, const Plot& plot) {
    const double step = plot.lowest_cents < -350.0   ? 100.0
                        : plot.lowest_cents < -140.0 ? 50.0
                                                     : 20.0;
    for (double cents = 0.0; cents > plot.lowest_cents; cents -= step) {
        const float y = plot.y(cents);
        canvas.hairline(plot.box.x0, y, plot.box.x1, y);
        canvas.text(Face::text,
                    canvas.small_cap(),
                    plot.box.x0 - 0.7F * canvas.em,
                    y + 0.5F * canvas.small_cap(),
                    Align::right,
                    canvas.colour.ink_soft,
                    desk::signed_cents(cents));
    }
    for (const horn::Hand degree : horn::kHands) {
        const float x = plot.x(horn::closure_of(degree));
        canvas.line(x, plot.box.y0, x, plot.box.y1, canvas.colour.rule, canvas.hair());
        canvas.hand_sign(horn::hand_sign(degree),
                         1.3F * canvas.cap(),
                         x,
                         plot.box.y1 + 1.5F * canvas.em,
                         Align::middle,
                         canvas.colour.ink);
    }
}

/// A predicted fall: a line with a mark at each degree; full marks for the model, rings for the player's own.
void draw_prediction(const Canvas& canvas,
                     const Plot& plot,
                     const std::array<double, horn::kHandDegrees>& falls,
                     bool own) {
    const float thick = std::max(2.0F, 0.13F * canvas.em);
    for (std::size_t i = 0; i + 1 < falls.size(); ++i) {
        const ImVec2 from(plot.x(0.25 * static_cast<double>(i)), plot.y(falls[i]));
        const ImVec2 to(plot.x(0.25 * static_cast<double>(i + 1)), plot.y(falls[i + 1]));
        canvas.line(from.x, from.y, to.x, to.y, canvas.colour.brass, own ? 0.6F * thick : thick);
    }
    for (std::size_t i = 0; i < falls.size(); ++i) {
        const float x = plot.x(0.25 * static_cast<double>(i));
        if (own) {
            canvas.ring(x, plot.y(falls[i]), 0.36F * canvas.em, canvas.colour.brass, 0.6F * thick);
        } else {
            canvas.dot(x, plot.y(falls[i]), 0.3F * canvas.em, canvas.colour.brass);
        }
    }
}

void draw_curve(const Canvas& canvas, const std::vector<ImVec2>& points, float thick, Colour ink) {
    if (points.size() > 1) {
        canvas.list.AddPolyline(points.data(), static_cast<int>(points.size()), ink, 0, thick);
    }
}

void draw_measured(const Canvas& canvas,
                   const Plot& plot,
                   const instrument::MeasuredClosing& closing,
                   bool faint) {
    std::vector<ImVec2> points;
    for (const instrument::ClosingPoint& point : closing.curve) {
        points.emplace_back(plot.x(point.share), plot.y(point.cents));
    }
    draw_curve(canvas,
               points,
               std::max(3.0F, 0.24F * canvas.em),
               faint ? faded(canvas.colour.voice, 0.35F) : canvas.colour.voice);
}

/// The closing under way: its curve, and the mark that the hand follows.
void draw_live(const Canvas& canvas, const Plot& plot, const desk::SlowClosing& closing) {
    std::vector<ImVec2> points;
    for (const desk::LivePoint& point : closing.live()) {
        const ImVec2 at(plot.x(point.closure), plot.y(point.cents));
        if (points.empty() ||
            std::abs(points.back().x - at.x) + std::abs(points.back().y - at.y) > 2.0F) {
            points.push_back(at);
        }
    }
    draw_curve(canvas, points, std::max(3.0F, 0.24F * canvas.em), canvas.colour.voice);
    const float x = plot.x(closing.mark());
    canvas.line(
        x, plot.box.y0, x, plot.box.y1, canvas.colour.ink, std::max(2.0F, 0.12F * canvas.em));
    const float half = 0.7F * canvas.em;
    canvas.list.AddTriangleFilled(ImVec2(x - half, plot.box.y0 - half * 1.3F),
                                  ImVec2(x + half, plot.box.y0 - half * 1.3F),
                                  ImVec2(x, plot.box.y0),
                                  canvas.colour.ink);
    if (!closing.live().empty()) {
        canvas.dot(x, plot.y(closing.live().back().cents), 0.42F * canvas.em, canvas.colour.voice);
    }
}

/// What each line is: drawn with its own stroke.
void draw_key(const Canvas& canvas, const desk::Desk& desk, Box box) {
    const auto entry = [&](bool voice, bool own, const std::string& words) {
        const float wide = 2.4F * canvas.em;
        const float y = box.middle_y();
        const float thick = std::max(2.0F, 0.13F * canvas.em);
        canvas.line(box.x0,
                    y,
                    box.x0 + wide,
                    y,
                    voice ? canvas.colour.voice : canvas.colour.brass,
                    voice ? 1.8F * thick
                    : own ? 0.6F * thick
                          : thick);
        if (own) {
            canvas.ring(
                box.x0 + 0.5F * wide, y, 0.36F * canvas.em, canvas.colour.brass, 0.6F * thick);
        } else if (!voice) {
            canvas.dot(box.x0 + 0.5F * wide, y, 0.3F * canvas.em, canvas.colour.brass);
        }
        box.take_left(wide + 0.6F * canvas.em);
        box.take_left(canvas.text(Face::text,
                                  canvas.cap(),
                                  box.x0,
                                  y + 0.5F * canvas.cap(),
                                  Align::left,
                                  canvas.colour.ink,
                                  words) +
                      1.8F * canvas.em);
    };
    entry(true, false, "you");
    entry(false, false, "acoustic model");
    if (desk.pages().closing.prediction().own) {
        entry(false, true, "your calibration");
    }
}

struct Telling {
    std::string title;
    std::vector<std::string> lines;
};

Telling how_to(double pace_s) {
    char travel[96];
    std::snprintf(travel,
                  sizeof travel,
                  "2. Close it evenly while the mark travels from o to +, %.0f seconds.",
                  pace_s);
    return {
        "close the hand slowly",
        {"1. Hold an open note for a second, hand in playing position. Partials 4 to 8 show most.",
         travel,
         "3. Hold it stopped for a second, then breathe.",
         "Keep the lips still: only the hand moves. Rest when they tire."}};
}

Telling result_of(const instrument::MeasuredClosing& closing, const std::string& refused) {
    Telling out;
    char words[160];
    std::snprintf(words, sizeof words, "%s partial", words::ordinal(closing.partial).c_str());
    out.title = words;
    std::snprintf(words,
                  sizeof words,
                  "Fell %.0f cents in %.1f s, give or take %.0f.",
                  -closing.fall_cents,
                  closing.lands_s - closing.starts_s,
                  std::max(1.0, closing.fall_sd_cents));
    out.lines.emplace_back(words);
    std::snprintf(words,
                  sizeof words,
                  "Landed %.0f cents %s the %s partial; a semitone above is usual.",
                  std::abs(closing.rise_cents),
                  closing.rise_cents < 0.0 ? "below" : "above",
                  words::ordinal(closing.partial - 1).c_str());
    out.lines.emplace_back(words);
    for (const instrument::Slip& slip : closing.slips) {
        const double share =
            (slip.time_s - closing.starts_s) / (closing.lands_s - closing.starts_s);
        std::snprintf(words,
                      sizeof words,
                      "The tone slipped %.0f cents at %.0f %% of the way.",
                      -slip.cents,
                      100.0 * std::clamp(share, 0.0, 1.0));
        out.lines.emplace_back(words);
    }
    if (!closing.held_open) {
        out.lines.emplace_back("It was not held open long enough: the fall may be too small.");
    }
    if (!closing.held_stopped) {
        out.lines.emplace_back("It was not held stopped long enough: the fall may be too small.");
    }
    if (!refused.empty()) {
        out.lines.push_back("The breath after it was not measured: " + refused + ".");
    }
    return out;
}

Telling under_way(const desk::SlowClosing& closing) {
    switch (closing.phase()) {
    case desk::SlowClosing::Phase::open:
        return {"hold it open", {"The mark sets out in a moment."}};
    case desk::SlowClosing::Phase::closing:
        return {"close with the mark", {"Only the hand; keep the lips still."}};
    default:
        return {"hold it stopped", {"A second, then breathe."}};
    }
}

void draw_telling(const Canvas& canvas, const desk::Desk& desk, Box box) {
    const desk::SlowClosing& closing = desk.pages().closing.closing();
    Telling telling = closing.phase() != desk::SlowClosing::Phase::waiting ? under_way(closing)
                      : closing.result() ? result_of(*closing.result(), closing.refused())
                                         : how_to(closing.pace_s());
    if (!closing.result() && closing.phase() == desk::SlowClosing::Phase::waiting &&
        !closing.refused().empty()) {
        telling.lines.insert(telling.lines.begin(), "Not measured: " + closing.refused() + ".");
    }
    const float wished = 1.3F * canvas.em;
    const float title =
        wished *
        std::min(1.0F,
                 box.width() / std::max(1.0F, canvas.width(Face::music, wished, telling.title)));
    canvas.text(
        Face::music, title, box.x0, box.y0 + title, Align::left, canvas.colour.ink, telling.title);
    box.take_top(title + 1.3F * canvas.em);
    for (const std::string& line : telling.lines) {
        box.y0 = canvas.paragraph(Face::text, canvas.cap(), box, canvas.colour.ink, line) -
                 canvas.cap() + 0.5F * canvas.em;
    }
    box.take_top(0.8F * canvas.em);
    char pace[64];
    std::snprintf(pace, sizeof pace, "The mark takes %.0f s.", closing.pace_s());
    box.y0 = canvas.paragraph(Face::text, canvas.small_cap(), box, canvas.colour.ink_soft, pace) -
             canvas.small_cap() + 0.6F * canvas.em;
    if (!desk.pages().closing.said().empty()) {
        canvas.paragraph(
            Face::text, canvas.small_cap(), box, canvas.colour.ink, desk.pages().closing.said());
    }
}

} // namespace

void draw_closing_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 54.0F, 34.0F);
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    rest = rest.shrunk(0.0F, 1.4F * em);
    const desk::SlowClosing& closing = desk.pages().closing.closing();
    draw_telling(canvas, desk, rest.take_right(std::min(19.0F * em, 0.36F * rest.width())));
    rest.take_right(2.4F * em);

    const bool under_way = closing.phase() != desk::SlowClosing::Phase::waiting;
    const bool known = under_way && closing.partial() >= 2;
    const int partial = known              ? closing.partial()
                        : closing.result() ? closing.result()->partial
                                           : 6;
    const int shown = std::clamp(partial, 2, horn::kPartials);
    const auto at = static_cast<std::size_t>(shown - 1);
    draw_key(canvas, desk, rest.take_top(2.2F * em));
    Box area = rest;
    area.take_top(1.6F * em);
    area.take_bottom(4.2F * em);
    area.take_left(4.6F * em);
    area.take_right(1.0F * em);
    const Plot plot{area, lowest_of(desk, shown), 0.08 * -lowest_of(desk, shown)};
    draw_axes(canvas, plot);
    canvas.text(Face::text,
                canvas.small_cap(),
                area.x0,
                area.y1 + 3.6F * em,
                Align::left,
                canvas.colour.ink_soft,
                "cents from the open " + words::ordinal(shown) +
                    " partial, over the closing of the hand");
    draw_prediction(canvas, plot, desk.pages().closing.prediction().modelled.fall_cents[at], false);
    if (desk.pages().closing.prediction().own) {
        draw_prediction(canvas, plot, desk.pages().closing.prediction().own->fall_cents[at], true);
    }
    if (closing.result() && closing.result()->partial == shown) {
        draw_measured(canvas, plot, *closing.result(), under_way);
    }
    if (under_way) {
        draw_live(canvas, plot, closing);
    }
}

} // namespace bellhand::gui
