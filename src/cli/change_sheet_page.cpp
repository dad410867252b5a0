// The change sheet on one A4 page for the music stand.
#include "cli/change_sheet.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

using chart::Align;
using chart::TextStyle;
using instrument::PlanStep;

constexpr double kMargin_mm = 14.0;
constexpr double kRight_mm = chart::kPageWidth_mm - kMargin_mm;
constexpr double kFirstRow_mm = 44.0;
constexpr double kLastRow_mm = 256.0;

// Left edges of the columns.
constexpr double kKey_mm = 53.0;
constexpr double kPieces_mm = 75.0;
constexpr double kSlide_mm = 157.0;
constexpr double kTime_mm = kRight_mm;

/// Sizes that let all numbers fit: many numbers make small rows, few do not make huge ones.
struct Rows {
    double height_mm = 13.0;
    double text_mm = 3.6;
};

Rows rows_for(std::size_t numbers) {
    Rows rows;
    rows.height_mm = std::min(13.0,
                              (kLastRow_mm - kFirstRow_mm) /
                                  static_cast<double>(std::max<std::size_t>(numbers, 1)));
    rows.text_mm = std::clamp(0.3 * rows.height_mm, 1.15, 3.6);
    return rows;
}

/// Text made smaller until it fits, down to half its size; what is longer still ends in an ellipsis.
void draw_fitted(cairo_t* page,
                 double x_mm,
                 double baseline_mm,
                 std::string text,
                 double width_mm,
                 TextStyle style) {
    const double wanted_mm = chart::text_width_mm(page, text, style);
    if (wanted_mm > width_mm) {
        style.size_mm *= std::max(0.5, width_mm / wanted_mm);
    }
    bool cut = false;
    while (!text.empty() &&
           chart::text_width_mm(page, cut ? text + "…" : text, style) > width_mm + 0.1) {
        // Whole characters: continuation bytes go with their first byte.
        while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) {
            text.pop_back();
        }
        if (!text.empty()) {
            text.pop_back();
        }
        cut = true;
    }
    chart::draw_text(page, x_mm, baseline_mm, cut ? text + "…" : text, style);
}

std::string swaps(const PlanStep& step) {
    if (!step.buildable) {
        return fmt::format("cannot be built: the nearest stays {:.0f} cents too {}",
                           std::fabs(step.way.slide.left_cents),
                           step.way.slide.left_cents > 0.0 ? "high" : "low");
    }
    std::string text;
    if (!step.way.change.off.empty()) {
        text += "off " + joined(step.way.change.off);
    }
    if (!step.way.change.on.empty()) {
        text += (text.empty() ? "on " : "; on ") + joined(step.way.change.on);
    }
    return text;
}

void draw_head(cairo_t* page, const ChangeSheet& sheet) {
    draw_fitted(page,
                kMargin_mm,
                22.0,
                sheet.list.title.empty() ? "Change sheet" : sheet.list.title,
                kRight_mm - kMargin_mm,
                {6.0, true, 0.0, Align::left});
    draw_fitted(page,
                kMargin_mm,
                29.0,
                fmt::format("{} · A4 = {:g} Hz · air in the horn {:g} °C",
                            sheet.horn.profile.name,
                            sheet.list.a4_hz,
                            sheet.list.temperature_c.value_or(sheet.horn.air.temperature_c)),
                kRight_mm - kMargin_mm,
                {3.6, false, 0.25, Align::left});
    const TextStyle small{2.8, false, 0.35, Align::left};
    const double baseline_mm = kFirstRow_mm - 4.0;
    chart::draw_text(page, kMargin_mm, baseline_mm, "number", small);
    chart::draw_text(page, kKey_mm, baseline_mm, "horn in", small);
    chart::draw_text(page, kPieces_mm, baseline_mm, "mouthpiece to body; what to swap", small);
    chart::draw_text(page, kSlide_mm, baseline_mm, "slide out", small);
    chart::draw_text(
        page, kTime_mm, baseline_mm, "change / rest", {2.8, false, 0.35, Align::right});
    chart::set_grey(page, 0.0);
    chart::draw_line(page, kMargin_mm, kFirstRow_mm - 2.0, kRight_mm, kFirstRow_mm - 2.0, 0.3);
}

void draw_row(cairo_t* page,
              const ChangeSheet& sheet,
              const PlanStep& step,
              double top_mm,
              const Rows& rows) {
    const double first_mm = top_mm + 0.42 * rows.height_mm;
    const double second_mm = top_mm + 0.80 * rows.height_mm;
    const TextStyle plain{rows.text_mm, false, 0.0, Align::left};
    const TextStyle strong{1.15 * rows.text_mm, true, 0.0, Align::left};
    const TextStyle fine{0.85 * rows.text_mm, false, 0.25, Align::left};
    draw_fitted(page, kMargin_mm, first_mm, step.number.name, kKey_mm - kMargin_mm - 2.0, plain);
    chart::draw_text(page, kKey_mm, first_mm, step.number.key.label, strong);
    if (step.buildable) {
        draw_fitted(page,
                    kPieces_mm,
                    first_mm,
                    instrument::describe(sheet.horn.lengths, step.way.stack),
                    kSlide_mm - kPieces_mm - 2.0,
                    plain);
        chart::draw_text(page,
                         kSlide_mm,
                         first_mm,
                         fmt::format("{:.0f} mm", 1000.0 * step.way.slide.pull_m),
                         plain);
    }
    draw_fitted(page, kPieces_mm, second_mm, swaps(step), kRight_mm - 34.0 - kPieces_mm, fine);
    if (step.way.change.seconds > 0.0) {
        chart::draw_text(page,
                         kTime_mm,
                         first_mm,
                         step.number.rest_before_s ? fmt::format("{:g} s / {:g} s",
                                                                 step.way.change.seconds,
                                                                 *step.number.rest_before_s)
                                                   : fmt::format("{:g} s", step.way.change.seconds),
                         {rows.text_mm, false, 0.0, Align::right});
    }
    if (step.too_short || step.tight) {
        chart::draw_text(page,
                         kTime_mm,
                         second_mm,
                         step.too_short ? "not possible in time" : "no margin",
                         {0.85 * rows.text_mm, true, 0.0, Align::right});
    }
    chart::set_grey(page, 0.75);
    chart::draw_line(
        page, kMargin_mm, top_mm + rows.height_mm, kRight_mm, top_mm + rows.height_mm, 0.1);
}

void draw_foot(cairo_t* page, const ChangeSheet& sheet) {
    const TextStyle text{3.2, false, 0.0, Align::left};
    const TextStyle fine{2.6, false, 0.35, Align::left};
    double baseline_mm = kLastRow_mm + 10.0;
    // The packing list may take several lines.
    std::string line = fmt::format("Pack {}: ", sheet.plan.packed.size());
    for (std::size_t i = 0; i < sheet.plan.packed.size(); ++i) {
        const std::string piece =
            sheet.plan.packed[i] + (i + 1 < sheet.plan.packed.size() ? ", " : "");
        if (chart::text_width_mm(page, line + piece, text) > kRight_mm - kMargin_mm &&
            baseline_mm < 279.0) {
            chart::draw_text(page, kMargin_mm, baseline_mm, line, text);
            baseline_mm += 4.5;
            line.clear();
        }
        line += piece;
    }
    draw_fitted(page, kMargin_mm, baseline_mm, line, kRight_mm - kMargin_mm, text);
    chart::draw_text(page,
                     kMargin_mm,
                     288.0,
                     "Seconds of change are estimates. A long stack loads the left arm: set the "
                     "horn down between numbers, stop at pain.",
                     fine);
}

} // namespace

Result<std::string> change_page(const ChangeSheet& sheet, chart::PageFormat format) {
    const std::string title =
        sheet.list.title.empty() ? "Change sheet" : "Change sheet: " + sheet.list.title;
    return chart::render_page(format, title, [&](cairo_t* page) {
        draw_head(page, sheet);
        const Rows rows = rows_for(sheet.plan.steps.size());
        double top_mm = kFirstRow_mm;
        for (const PlanStep& step : sheet.plan.steps) {
            draw_row(page, sheet, step, top_mm, rows);
            top_mm += rows.height_mm;
        }
        draw_foot(page, sheet);
    });
}

} // namespace bellhand::cli
