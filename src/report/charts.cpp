#include "report/charts.h"

#include "core/calendar.h"
#include "report/text.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::report {

namespace {

constexpr double kWidth = 720.0;
constexpr double kLeft = 46.0;
constexpr double kRight = 708.0;

std::string open_svg(double height,
                     const std::string& id,
                     const std::string& title,
                     const std::string& description) {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" "
        "aria-labelledby=\"{}-t {}-d\">\n<title id=\"{}-t\">{}</title>\n<desc "
        "id=\"{}-d\">{}</desc>\n",
        kWidth,
        height,
        id,
        id,
        id,
        escaped(title),
        id,
        escaped(description));
}

std::string text_at(double x, double y, const char* style, const std::string& words) {
    return fmt::format(
        "<text x=\"{:.1f}\" y=\"{:.1f}\" class=\"{}\">{}</text>\n", x, y, style, escaped(words));
}

std::string line(double x1, double y1, double x2, double y2, const char* style) {
    return fmt::format(
        "<line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" class=\"{}\"/>\n",
        x1,
        y1,
        x2,
        y2,
        style);
}

/// A scale of cents, up is sharp.
struct CentScale {
    double top = 0.0;
    double height = 0.0;
    double half_cents = 20.0;
    [[nodiscard]] double y(double cents) const noexcept {
        const double shown = std::clamp(cents, -half_cents, half_cents);
        return top + height * (half_cents - shown) / (2.0 * half_cents);
    }
    [[nodiscard]] std::string grid() const {
        constexpr double kOpenTolerance_cents = 5.0;
        std::string out = fmt::format(
            "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" class=\"good\"/>\n",
            kLeft,
            y(kOpenTolerance_cents),
            kRight - kLeft,
            y(-kOpenTolerance_cents) - y(kOpenTolerance_cents));
        const double step = half_cents > 30.0 ? 20.0 : 10.0;
        for (double cents = 0.0; cents <= half_cents; cents += step) {
            for (const double at : {cents, -cents}) {
                out += line(kLeft, y(at), kRight, y(at), at == 0.0 ? "zero" : "grid");
                const std::string label =
                    at == 0.0 ? "0"
                              : fmt::format("{}{:.0f}", at < 0.0 ? "\u2212" : "+", std::abs(at));
                out += text_at(kLeft - 6.0, y(at) + 3.5, "end small", label);
                if (cents == 0.0) {
                    break;
                }
            }
        }
        out += text_at(kLeft - 6.0, top - 10.0, "end small", "cents");
        return out;
    }
};

constexpr std::size_t kColumns = 22;

std::string map_row(const std::vector<progress::NoteFigures>& notes,
                    std::size_t first,
                    std::size_t last,
                    double top,
                    const CentScale& like) {
    constexpr double kPlot = 150.0;
    CentScale scale = like;
    scale.top = top;
    scale.height = kPlot;
    std::string out = scale.grid();
    // A few notes stand close together rather than far apart.
    const double step = std::min(
        44.0, (kRight - kLeft) / static_cast<double>(std::max<std::size_t>(last - first, 1)));
    for (std::size_t i = first; i < last; ++i) {
        const progress::NoteFigures& note = notes[i];
        const double x = kLeft + step * (static_cast<double>(i - first) + 0.5);
        const double median = note.figures.median_cents;
        const double spread = note.figures.spread_cents;
        const bool weak = note.figures.right_share < 0.6;
        out += line(x, scale.y(median + spread), x, scale.y(median - spread), "spread");
        out += fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"8.5\" class=\"{}\"/>\n",
                           x,
                           scale.y(median),
                           weak ? "mark weak" : "mark");
        out += text_at(x, scale.y(median) + 4.0, "middle sign", horn::hand_sign(note.hand));
        const double below = top + kPlot;
        out += text_at(x, below + 20.0, "middle", horn::display_name(note.written));
        out += text_at(x,
                       below + 34.0,
                       weak ? "middle small strong" : "middle small",
                       percent_text(note.figures.right_share));
        out += text_at(x, below + 46.0, "middle tiny", count_text(note.figures.notes) + "\u00d7");
    }
    return out;
}

std::string map_description(const progress::CrookMap& map) {
    std::string out = "Per note: hand, median deviation in cents, spread, share in tune, notes.";
    for (const progress::NoteFigures& note : map.notes) {
        out += fmt::format(" {} {}: {}, spread {:.1f}, {} of {}.",
                           horn::display_name(note.written),
                           horn::hand_label(note.hand),
                           signed_text(note.figures.median_cents),
                           note.figures.spread_cents,
                           percent_text(note.figures.right_share),
                           count_text(note.figures.notes));
    }
    return out;
}

/// A stretch of days as one group of bars.
struct BarGroup {
    std::int64_t first_day = 0;
    double playing_s = 0.0;
    double rest_s = 0.0;
};

std::vector<BarGroup>
bar_groups(const progress::PracticeTime& time, const logbook::Days& days, int& width_days) {
    constexpr std::int64_t kByDay = 42;
    constexpr std::int64_t kByWeek = 730;
    const std::int64_t length = days.last - days.first + 1;
    width_days = length <= kByDay ? 1 : length <= kByWeek ? 7 : 28;
    std::vector<BarGroup> groups;
    for (std::int64_t day = days.first; day <= days.last; day += width_days) {
        groups.push_back({day, 0.0, 0.0});
    }
    for (const logbook::DaySums& sums : time.days) {
        const std::int64_t at = (sums.day - days.first) / width_days;
        if (sums.day >= days.first && at < static_cast<std::int64_t>(groups.size())) {
            groups[static_cast<std::size_t>(at)].playing_s += sums.playing_s;
            groups[static_cast<std::size_t>(at)].rest_s += sums.rest_s;
        }
    }
    return groups;
}

/// 5, 10, 20, 50, 100 ... : a round step that divides `largest` into at most five.
double round_step(double largest) noexcept {
    double step = 5.0;
    for (const double factor : {2.0, 2.0, 2.5, 2.0, 2.0, 2.5, 2.0, 2.0, 2.5}) {
        if (step * 5.0 >= largest) {
            break;
        }
        step *= factor;
    }
    return step;
}

} // namespace

double scale_cents(double largest) noexcept {
    return std::clamp(std::ceil((largest + 1.0) / 10.0) * 10.0, 20.0, 60.0);
}

std::string note_map_svg(const progress::CrookMap& map, const std::string& id) {
    constexpr double kRow = 224.0;
    double largest = 0.0;
    for (const progress::NoteFigures& note : map.notes) {
        // A note or two may lie at the edge for the others to be seen well.
        largest = std::max(largest,
                           std::abs(note.figures.median_cents) +
                               std::min(note.figures.spread_cents, 15.0));
    }
    CentScale scale;
    scale.half_cents = scale_cents(largest);
    const std::size_t rows = (map.notes.size() + kColumns - 1) / kColumns;
    const std::size_t in_row = rows == 0 ? 0 : (map.notes.size() + rows - 1) / rows;
    std::string out = open_svg(static_cast<double>(rows) * kRow + 4.0,
                               id,
                               "Note map, crook " + map.label,
                               map_description(map));
    for (std::size_t row = 0; row < rows; ++row) {
        out += map_row(map.notes,
                       row * in_row,
                       std::min(map.notes.size(), (row + 1) * in_row),
                       static_cast<double>(row) * kRow + 20.0,
                       scale);
    }
    return out + "</svg>\n";
}

std::string trend_svg(const std::vector<progress::TrendPoint>& points,
                      progress::Range range,
                      const std::string& id) {
    CentScale scale{20.0, 150.0, 20.0};
    double largest = 0.0;
    std::string description = "Median deviation in cents and spread.";
    for (const progress::TrendPoint& point : points) {
        largest =
            std::max(largest, std::abs(point.figures.median_cents) + point.figures.spread_cents);
    }
    scale.half_cents = scale_cents(largest);
    const bool few = points.size() <= 60;
    for (std::size_t i = 0; i < points.size(); i += few ? 1 : points.size() / 30) {
        description += fmt::format(" {}: {}, spread {:.1f}, {} notes.",
                                   points[i].label,
                                   signed_text(points[i].figures.median_cents),
                                   points[i].figures.spread_cents,
                                   count_text(points[i].figures.notes));
    }
    std::string out =
        open_svg(200.0, id, "Median deviation and spread over time", description) + scale.grid();
    const auto x = [&](std::size_t i) {
        const double inset = 26.0;
        double share = 0.5;
        if (points.size() > 1) {
            const auto span =
                static_cast<double>(points.back().first_day - points.front().first_day);
            share =
                range == progress::Range::day || span <= 0.0
                    ? static_cast<double>(i) / static_cast<double>(points.size() - 1)
                    : static_cast<double>(points[i].first_day - points.front().first_day) / span;
        }
        return kLeft + inset + share * (kRight - kLeft - 2.0 * inset);
    };
    std::string upper;
    std::string lower;
    std::string middle;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const progress::Figures& figures = points[i].figures;
        upper += fmt::format(
            "{:.1f},{:.1f} ", x(i), scale.y(figures.median_cents + figures.spread_cents));
        lower = fmt::format(
                    "{:.1f},{:.1f} ", x(i), scale.y(figures.median_cents - figures.spread_cents)) +
                lower;
        middle += fmt::format("{:.1f},{:.1f} ", x(i), scale.y(figures.median_cents));
    }
    if (points.size() > 1) {
        out += "<polygon class=\"band\" points=\"" + upper + lower + "\"/>\n";
        out += "<polyline class=\"trend\" points=\"" + middle + "\"/>\n";
    }
    double free_from = kLeft - 20.0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (points.size() <= 1) {
            out += line(x(i),
                        scale.y(points[i].figures.median_cents + points[i].figures.spread_cents),
                        x(i),
                        scale.y(points[i].figures.median_cents - points[i].figures.spread_cents),
                        "spread");
        }
        if (few) {
            out += fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"3.2\" class=\"dot\"/>\n",
                               x(i),
                               scale.y(points[i].figures.median_cents));
        }
        const double half = 3.4 * static_cast<double>(points[i].label.size());
        if (x(i) - half >= free_from && x(i) + half <= kWidth) {
            out += text_at(x(i), 190.0, "middle small", points[i].label);
            free_from = x(i) + half + 8.0;
        }
    }
    return out + "</svg>\n";
}

std::string
minutes_svg(const progress::PracticeTime& time, const logbook::Days& days, const std::string& id) {
    constexpr double kTop = 20.0;
    constexpr double kPlot = 130.0;
    int width_days = 1;
    const std::vector<BarGroup> groups = bar_groups(time, days, width_days);
    double largest_min = 5.0;
    std::string description = "Minutes played and minutes of rest.";
    for (const BarGroup& group : groups) {
        largest_min = std::max({largest_min, group.playing_s / 60.0, group.rest_s / 60.0});
        if (group.playing_s > 0.0 && groups.size() <= 60) {
            description += fmt::format(" {}: played {:.0f}, rest {:.0f}.",
                                       calendar::day_name(group.first_day),
                                       group.playing_s / 60.0,
                                       group.rest_s / 60.0);
        }
    }
    const double step_min = round_step(largest_min);
    const double top_min = std::ceil(largest_min / step_min) * step_min;
    const auto y = [&](double minutes) { return kTop + kPlot * (1.0 - minutes / top_min); };
    std::string out = open_svg(
        kTop + kPlot + 30.0, id, "Minutes played, rest taken and rest advised", description);
    for (double minutes = 0.0; minutes <= top_min + 0.1; minutes += step_min) {
        out += line(kLeft, y(minutes), kRight, y(minutes), minutes == 0.0 ? "zero" : "grid");
        out += text_at(kLeft - 6.0, y(minutes) + 3.5, "end small", fmt::format("{:.0f}", minutes));
    }
    out += text_at(kLeft - 6.0, kTop - 10.0, "end small", "min");
    const double step = std::min(90.0, (kRight - kLeft) / static_cast<double>(groups.size()));
    const double bar = std::clamp(step * 0.3, 0.8, 22.0);
    double free_from = kLeft - 20.0;
    for (std::size_t i = 0; i < groups.size(); ++i) {
        const double x = kLeft + step * (static_cast<double>(i) + 0.5);
        const auto draw = [&](double at, double seconds, const char* style) {
            const double top = y(seconds / 60.0);
            out += fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" "
                               "class=\"{}\"/>\n",
                               at,
                               top,
                               bar,
                               std::max(y(0.0) - top, 0.0),
                               style);
        };
        if (groups[i].playing_s > 0.0) {
            draw(x - bar, groups[i].playing_s, "played");
            draw(x, groups[i].rest_s, "rested");
            out += line(x,
                        y(groups[i].playing_s / 60.0),
                        x + bar,
                        y(groups[i].playing_s / 60.0),
                        "advised");
        }
        const std::string label = groups.size() <= 14
                                      ? calendar::short_day_name(groups[i].first_day)
                                      : calendar::day_name(groups[i].first_day);
        const double half = 3.4 * static_cast<double>(label.size());
        if (x - half >= free_from && x + half <= kWidth) {
            out += text_at(x, kTop + kPlot + 18.0, "middle small", label);
            free_from = x + half + 8.0;
        }
    }
    return out + "</svg>\n";
}

} // namespace bellhand::report
