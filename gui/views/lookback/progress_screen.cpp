#include "desk/model/phrases.h"
#include "desk/pages/today_page.h"
#include "gui/views/octave.h"
#include "gui/views/page_parts.h"
#include "gui/views/views.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace bellhand::gui {

namespace {

constexpr double kRange_cents = 30.0;

/// Places of cents on a plot, and its lines at +20, 0 and -20.
class CentsPlot {
public:
    CentsPlot(const Canvas& canvas, Box box) : canvas_(canvas) {
        const Box scale = box.take_left(2.8F * canvas.em);
        box_ = box;
        for (const double cents : {-20.0, 0.0, 20.0}) {
            canvas.level_line(box.x0,
                              box.x1,
                              y_of(cents),
                              cents == 0.0 ? canvas.colour.brass : canvas.colour.rule,
                              std::max(1.0F, canvas.hair()));
            canvas.text(Face::text,
                        canvas.small_cap(),
                        scale.x1 - 0.6F * canvas.em,
                        y_of(cents) + 0.5F * canvas.small_cap(),
                        Align::right,
                        canvas.colour.ink_soft,
                        desk::signed_cents(cents));
        }
    }
    [[nodiscard]] float y_of(double cents) const noexcept {
        const double inside = std::clamp(cents, -kRange_cents, kRange_cents) / kRange_cents;
        return box_.middle_y() - static_cast<float>(inside) * 0.5F * box_.height();
    }
    [[nodiscard]] const Box& box() const noexcept { return box_; }

    /// Median as a dot, spread as a bar through it.
    void draw(float x, const progress::Figures& figures, float radius) const {
        const float thick = std::max(2.0F, 0.16F * canvas_.em);
        const float top = y_of(figures.median_cents + figures.spread_cents);
        const float bottom = y_of(figures.median_cents - figures.spread_cents);
        canvas_.fill({x - 0.5F * thick, top, x + 0.5F * thick, bottom},
                     faded(canvas_.colour.voice, 0.55F),
                     0.5F * thick);
        canvas_.dot(x, y_of(figures.median_cents), radius, canvas_.colour.voice);
    }

private:
    const Canvas& canvas_;
    Box box_;
};

/// Every note of the crook: where it lay, how widely, and how often it was played.
void draw_map(const Canvas& canvas, const progress::CrookMap& map, Box box) {
    const float em = canvas.em;
    Box names = box.take_bottom(5.0F * em);
    const CentsPlot plot(canvas, box);
    names.x0 = plot.box().x0;
    const float wide =
        plot.box().width() / static_cast<float>(std::max<std::size_t>(8, map.notes.size()));
    const float cap = std::min(canvas.cap(), 0.30F * wide);
    float x = plot.box().x0 + 0.5F * wide;
    for (const progress::NoteFigures& note : map.notes) {
        // Larger the more it was played: a figure from three notes is little worth.
        const double weight = std::log2(1.0 + static_cast<double>(note.figures.notes));
        const float radius =
            em * std::clamp(0.14F + 0.05F * static_cast<float>(weight), 0.14F, 0.5F);
        plot.draw(x, note.figures, std::min(radius, 0.4F * wide));
        const float first = names.y0 + 0.7F * em + cap;
        draw_note_and_octave(canvas, note.written, cap, x, first, Align::middle, canvas.colour.ink);
        canvas.hand_sign(horn::hand_sign(note.hand),
                         cap,
                         x,
                         first + 1.1F * em,
                         Align::middle,
                         canvas.colour.ink);
        canvas.text(Face::text,
                    0.85F * cap,
                    x,
                    first + 2.9F * em,
                    Align::middle,
                    canvas.colour.ink_soft,
                    std::to_string(note.figures.notes));
        x += wide;
    }
}

void draw_trend(const Canvas& canvas, const std::vector<progress::TrendPoint>& trend, Box box) {
    const Box labels = box.take_bottom(2.0F * canvas.em);
    const CentsPlot plot(canvas, box);
    if (trend.empty()) {
        return;
    }
    const float step = plot.box().width() / static_cast<float>(trend.size());
    const float radius = std::min(0.24F * canvas.em, 0.4F * step);
    float x = plot.box().x0 + 0.5F * step;
    for (std::size_t i = 0; i < trend.size(); ++i, x += step) {
        plot.draw(x, trend[i].figures, radius);
        if (i > 0) {
            canvas.line(x - step,
                        plot.y_of(trend[i - 1].figures.median_cents),
                        x,
                        plot.y_of(trend[i].figures.median_cents),
                        canvas.colour.voice,
                        canvas.hair());
        }
    }
    const float baseline = labels.y0 + canvas.em;
    const auto label = [&](float at, Align align, const std::string& words) {
        canvas.text(
            Face::text, canvas.small_cap(), at, baseline, align, canvas.colour.ink_soft, words);
    };
    label(plot.box().x0, Align::left, trend.front().label);
    if (trend.size() > 1) {
        label(plot.box().x1, Align::right, trend.back().label);
    }
}

void draw_hardest(const Canvas& canvas, const std::vector<progress::Transition>& all, Box box) {
    const float em = canvas.em;
    const float row_height = 2.05F * em;
    if (all.empty()) {
        canvas.paragraph(Face::text,
                         canvas.small_cap(),
                         box.shrunk(0.0F, 0.4F * em),
                         canvas.colour.ink_soft,
                         "Nothing yet: a transition counts once it was played four times.");
        return;
    }
    for (const progress::Transition& each : all) {
        if (box.height() < row_height) {
            return;
        }
        const Box row = box.take_top(row_height);
        const float baseline = row.middle_y() + 0.5F * canvas.cap();
        const auto note = [&](float x, horn::Note written, horn::Hand hand) {
            draw_note_and_octave(
                canvas, written, 0.92F * canvas.cap(), x, baseline, Align::left, canvas.colour.ink);
            canvas.hand_sign(horn::hand_sign(hand),
                             0.9F * canvas.cap(),
                             x + 1.95F * em,
                             row.middle_y(),
                             Align::left,
                             canvas.colour.ink);
        };
        note(row.x0, each.from, each.from_hand);
        canvas.text(Face::text,
                    canvas.cap(),
                    row.x0 + 3.7F * em,
                    baseline,
                    Align::left,
                    canvas.colour.ink_soft,
                    "→");
        note(row.x0 + 5.2F * em, each.to, each.to_hand);
        const auto in_hundred = std::lround(100.0 * each.right_share);
        canvas.text(Face::text,
                    canvas.small_cap(),
                    row.x1,
                    baseline,
                    Align::right,
                    canvas.colour.ink_soft,
                    std::to_string(in_hundred) + " % in tune, " + std::to_string(each.times) +
                        " times");
        canvas.hairline(row.x0, row.y1, row.x1, row.y1);
    }
}

/// " Crook changes: 12 of 14 right, half of these within 9.4 s."; empty where none was drilled.
std::string crook_changes_words(const progress::CrookChangeFigures& figures) {
    if (figures.changes == 0) {
        return "";
    }
    char seconds[48] = "";
    if (figures.right > 0) {
        std::snprintf(seconds, sizeof seconds, ", half of these within %.1f s", figures.median_s);
    }
    return " Crook changes: " + std::to_string(figures.right) + " of " +
           std::to_string(figures.changes) + " right" + seconds + ".";
}

/// Minutes of each day: played as a filled bar, rested as a framed one beside it.
void draw_time(const Canvas& canvas, const progress::Progress& data, Box box) {
    const float em = canvas.em;
    const progress::PracticeTime& time = data.time;
    const std::string changes = crook_changes_words(data.crook_changes);
    box.y0 = canvas.paragraph(
                 Face::text,
                 canvas.small_cap(),
                 box.shrunk(0.0F, 0.2F * em),
                 canvas.colour.ink,
                 desk::span_words(time.playing_s) + " played, " + desk::span_words(time.rest_s) +
                     " rested. Rest as long as you play: " + desk::span_words(time.rest_advised_s) +
                     "." + changes) +
             0.3F * em;
    if (time.days.empty() || box.height() < 2.0F * em) {
        return;
    }
    const Box labels = box.take_bottom(1.6F * em);
    double longest_s = 60.0;
    for (const logbook::DaySums& day : time.days) {
        longest_s = std::max({longest_s, day.playing_s, day.rest_s});
    }
    constexpr std::size_t kMostDays = 60;
    const std::size_t first = time.days.size() > kMostDays ? time.days.size() - kMostDays : 0;
    const std::size_t count = time.days.size() - first;
    const float step = std::min(3.0F * em, box.width() / static_cast<float>(count));
    const float wide = 0.36F * step;
    float x = box.x0;
    for (std::size_t i = first; i < time.days.size(); ++i, x += step) {
        const auto top = [&](double seconds) {
            return box.y1 - static_cast<float>(seconds / longest_s) * box.height();
        };
        canvas.fill({x, top(time.days[i].playing_s), x + wide, box.y1}, canvas.colour.voice);
        if (time.days[i].rest_s > 0.0) {
            canvas.outline({x + wide + 1.0F, top(time.days[i].rest_s), x + 2.0F * wide, box.y1},
                           canvas.colour.ink_soft,
                           canvas.hair());
        }
    }
    canvas.level_line(box.x0, box.x1, box.y1, canvas.colour.ink_soft, canvas.hair());
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       labels.x0,
                       labels.y1 - 0.3F * em,
                       labels.width(),
                       canvas.colour.ink_soft,
                       "filled: played; framed: rested; tallest " + desk::span_words(longest_s));
}

void draw_choices(const Canvas& canvas, const desk::ProgressPage& page, Box box) {
    const float em = canvas.em;
    const float cap = 1.5F * canvas.cap();
    float x = box.x0;
    const progress::CrookMap* map = page.map();
    const std::string crook = map != nullptr ? "Horn in " + map->label : "";
    x += canvas.text(Face::music, cap, x, box.y0 + cap, Align::left, canvas.colour.ink, crook);
    if (map != nullptr) {
        canvas.text(Face::text,
                    canvas.cap(),
                    x + em,
                    box.y0 + cap,
                    Align::left,
                    canvas.colour.ink_soft,
                    std::to_string(map->figures.notes) + " notes, " +
                        std::to_string(std::lround(100.0 * map->figures.right_share)) +
                        " % in tune, median " + words::off_pitch(map->figures.median_cents));
    }
    x = box.x1;
    for (int i = 2; i >= 0; --i) {
        const auto range = static_cast<progress::Range>(i);
        const bool here = range == page.range();
        const Face face = here ? Face::strong : Face::text;
        const float wide = canvas.width(face, canvas.cap(), desk::range_words(range));
        canvas.text(face,
                    canvas.cap(),
                    x,
                    box.y0 + cap,
                    Align::right,
                    here ? canvas.colour.ink : canvas.colour.ink_soft,
                    desk::range_words(range));
        if (here) {
            canvas.fill({x - wide, box.y0 + cap + 0.5F * em, x, box.y0 + cap + 0.7F * em},
                        canvas.colour.brass);
        }
        x -= wide + 1.6F * em;
    }
}

} // namespace

void draw_progress_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 58.0F, 36.0F);
    const float em = canvas.em;
    const desk::ProgressPage& page = desk.pages().progress;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    rest = rest.shrunk(0.0F, 1.2F * em);
    draw_choices(canvas, page, rest.take_top(3.2F * em));
    if (page.map() == nullptr) {
        draw_empty(
            canvas,
            rest,
            page.problem().empty() ? "nothing played in this time" : "the log cannot be read",
            page.problem().empty() ? "Down looks further back; 1 plays freely, 5 is today's plan."
                                   : page.problem());
        return;
    }
    draw_sentence(canvas, rest, page.problem(), page.said());
    Box lower = rest.take_bottom(0.46F * rest.height());
    rest.take_bottom(0.8F * em);
    draw_map(canvas,
             *page.map(),
             draw_section(canvas,
                          rest,
                          "each note in cents from its target: dot the median, bar the spread, "
                          "below how often"));
    const float third = (lower.width() - 4.0F * em) / 3.0F;
    const Box left = lower.take_left(third);
    lower.take_left(2.0F * em);
    const Box middle = lower.take_left(third);
    lower.take_left(2.0F * em);
    draw_trend(canvas, page.trend(), draw_section(canvas, left, "over time, in cents"));
    draw_hardest(canvas, page.hardest(), draw_section(canvas, middle, "hardest transitions"));
    draw_time(canvas, page.data(), draw_section(canvas, lower, "minutes, all crooks"));
}

} // namespace bellhand::gui
