#include "chart/signs.h"

#include <numbers>
#include <vector>

#include <cairo.h>

namespace bellhand::chart {

namespace {

/// A sign with its middle there, from left to right.
void draw_middle(cairo_t* page, engraving::Sign sign, double x_mm, double y_mm, double space_mm) {
    const engraving::Outline& outline = engraving::outline_of(sign);
    const double middle = 0.5 * static_cast<double>(outline.low.x + outline.high.x);
    draw_sign(page, sign, x_mm - space_mm * middle, y_mm, space_mm);
}

} // namespace

void draw_sign(cairo_t* page, engraving::Sign sign, double x_mm, double y_mm, double space_mm) {
    const engraving::Outline& outline = engraving::outline_of(sign);
    cairo_new_path(page);
    const auto add = [&](const std::vector<engraving::Point>& loop) {
        cairo_new_sub_path(page);
        for (const engraving::Point& point : loop) {
            cairo_line_to(page,
                          x_mm + space_mm * static_cast<double>(point.x),
                          y_mm - space_mm * static_cast<double>(point.y));
        }
        cairo_close_path(page);
    };
    for (const auto& loop : outline.loops) {
        add(loop);
    }
    for (const auto& hole : outline.holes) { // it runs the other way round, which cuts it out
        add(hole);
    }
    cairo_fill(page);
}

void draw_treble_clef(cairo_t* page, double x_mm, double g_line_mm, double space_mm) {
    draw_sign(page, engraving::Sign::treble_clef, x_mm, g_line_mm, space_mm);
}

void draw_bass_clef(cairo_t* page, double x_mm, double f_line_mm, double space_mm) {
    draw_sign(page, engraving::Sign::bass_clef, x_mm, f_line_mm, space_mm);
}

void draw_whole_note(cairo_t* page, double x_mm, double y_mm, double space_mm) {
    draw_sign(page, engraving::Sign::whole_head, x_mm, y_mm, space_mm);
}

void draw_sharp(cairo_t* page, double x_mm, double y_mm, double space_mm) {
    draw_middle(page, engraving::Sign::sharp, x_mm, y_mm, space_mm);
}

void draw_flat(cairo_t* page, double x_mm, double y_mm, double space_mm) {
    draw_middle(page, engraving::Sign::flat, x_mm, y_mm, space_mm);
}

void draw_parentheses(
    cairo_t* page, double x_mm, double y_mm, double half_width_mm, double space_mm) {
    draw_sign(page, engraving::Sign::left_parenthesis, x_mm - half_width_mm, y_mm, space_mm);
    draw_sign(page, engraving::Sign::right_parenthesis, x_mm + half_width_mm, y_mm, space_mm);
}

void draw_staff_lines(cairo_t* page, const Staff& staff, double width_mm) {
    cairo_set_line_width(page, 0.12 * staff.space_mm);
    for (int line = 0; line < 5; ++line) {
        const double y_mm = staff.bottom_line_mm - line * staff.space_mm;
        cairo_move_to(page, staff.x_mm, y_mm);
        cairo_line_to(page, staff.x_mm + width_mm, y_mm);
        cairo_stroke(page);
    }
}

void draw_open_sign(cairo_t* page, double x_mm, double y_mm, double radius_mm) {
    cairo_set_line_width(page, 0.26 * radius_mm);
    cairo_new_path(page);
    cairo_arc(page, x_mm, y_mm, 0.87 * radius_mm, 0.0, 2.0 * std::numbers::pi);
    cairo_stroke(page);
}

void draw_stopped_sign(cairo_t* page, double x_mm, double y_mm, double radius_mm) {
    cairo_set_line_width(page, 0.28 * radius_mm);
    cairo_move_to(page, x_mm - radius_mm, y_mm);
    cairo_line_to(page, x_mm + radius_mm, y_mm);
    cairo_move_to(page, x_mm, y_mm - radius_mm);
    cairo_line_to(page, x_mm, y_mm + radius_mm);
    cairo_stroke(page);
}

} // namespace bellhand::chart
