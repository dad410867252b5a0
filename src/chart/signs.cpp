#include "chart/signs.h"

#include <array>
#include <cmath>
#include <numbers>
#include <span>
#include <vector>

#include <cairo.h>

namespace bellhand::chart {

namespace {

// A stroke of changing width: centre line in staff spaces, y upwards, and the width there.
struct BrushPoint {
    double x;
    double y;
    double width;
};

// Where the shape's origin lies on the page.
struct Place {
    double x_mm;
    double y_mm;
    double space_mm;
};

BrushPoint mixed(const BrushPoint& before,
                 const BrushPoint& from,
                 const BrushPoint& to,
                 const BrushPoint& after,
                 double part) {
    // Catmull-Rom spline (Catmull & Rom 1974).
    const auto along = [part](double a, double b, double c, double d) {
        return 0.5 * (2.0 * b + part * (c - a) + part * part * (2.0 * a - 5.0 * b + 4.0 * c - d) +
                      part * part * part * (3.0 * b - a - 3.0 * c + d));
    };
    return {along(before.x, from.x, to.x, after.x),
            along(before.y, from.y, to.y, after.y),
            along(before.width, from.width, to.width, after.width)};
}

std::vector<BrushPoint> smooth(std::span<const BrushPoint> points) {
    constexpr int kPieces = 10;
    std::vector<BrushPoint> dense;
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
        const BrushPoint& before = points[i == 0 ? 0 : i - 1];
        const BrushPoint& after = points[i + 2 < points.size() ? i + 2 : i + 1];
        for (int piece = 0; piece < kPieces; ++piece) {
            dense.push_back(mixed(
                before, points[i], points[i + 1], after, static_cast<double>(piece) / kPieces));
        }
    }
    dense.push_back(points.back());
    return dense;
}

void brush(cairo_t* page, std::span<const BrushPoint> points, const Place& place) {
    const std::vector<BrushPoint> line = smooth(points);
    std::vector<std::array<double, 2>> right;
    cairo_new_path(page);
    for (std::size_t i = 0; i < line.size(); ++i) {
        const BrushPoint& back = line[i == 0 ? 0 : i - 1];
        const BrushPoint& ahead = line[i + 1 < line.size() ? i + 1 : i];
        const double length = std::hypot(ahead.x - back.x, ahead.y - back.y);
        const double normal_x = length > 0.0 ? -(ahead.y - back.y) / length : 0.0;
        const double normal_y = length > 0.0 ? (ahead.x - back.x) / length : 0.0;
        const double half = 0.5 * line[i].width;
        cairo_line_to(page,
                      place.x_mm + place.space_mm * (line[i].x + half * normal_x),
                      place.y_mm - place.space_mm * (line[i].y + half * normal_y));
        right.push_back({place.x_mm + place.space_mm * (line[i].x - half * normal_x),
                         place.y_mm - place.space_mm * (line[i].y - half * normal_y)});
    }
    for (std::size_t i = right.size(); i-- > 0;) {
        cairo_line_to(page, right[i][0], right[i][1]);
    }
    cairo_close_path(page);
    cairo_fill(page);
}

void disc(cairo_t* page, const Place& place, double x, double y, double radius) {
    cairo_new_path(page);
    cairo_arc(page,
              place.x_mm + place.space_mm * x,
              place.y_mm - place.space_mm * y,
              place.space_mm * radius,
              0.0,
              2.0 * std::numbers::pi);
    cairo_fill(page);
}

void add_ellipse(cairo_t* page, const Place& place, double rx, double ry, double turn) {
    cairo_save(page);
    cairo_translate(page, place.x_mm, place.y_mm);
    cairo_rotate(page, turn);
    cairo_scale(page, rx * place.space_mm, ry * place.space_mm);
    cairo_new_sub_path(page);
    cairo_arc(page, 0.0, 0.0, 1.0, 0.0, 2.0 * std::numbers::pi);
    cairo_close_path(page);
    cairo_restore(page);
}

} // namespace

void draw_treble_clef(cairo_t* page, double x_mm, double g_line_mm, double space_mm) {
    constexpr std::array<BrushPoint, 28> kLine{
        {{-0.02, -0.42, 0.06}, {-0.42, -0.22, 0.13}, {-0.50, 0.22, 0.17},  {-0.18, 0.66, 0.22},
         {0.36, 0.68, 0.30},   {0.83, 0.28, 0.36},   {0.88, -0.34, 0.34},  {0.48, -0.86, 0.22},
         {-0.10, -1.00, 0.13}, {-0.74, -0.82, 0.24}, {-1.18, -0.28, 0.36}, {-1.24, 0.42, 0.42},
         {-0.96, 1.12, 0.38},  {-0.44, 1.76, 0.32},  {0.10, 2.32, 0.30},   {0.46, 2.92, 0.30},
         {0.54, 3.54, 0.26},   {0.40, 4.10, 0.14},   {0.22, 4.30, 0.07},   {-0.06, 4.00, 0.12},
         {-0.24, 3.36, 0.17},  {-0.22, 2.60, 0.17},  {-0.04, 1.40, 0.15},  {0.18, 0.00, 0.14},
         {0.36, -1.20, 0.13},  {0.38, -1.88, 0.13},  {0.12, -2.38, 0.12},  {-0.30, -2.44, 0.10}}};
    const Place place{x_mm, g_line_mm, space_mm};
    brush(page, kLine, place);
    disc(page, place, -0.34, -2.06, 0.38);
}

void draw_bass_clef(cairo_t* page, double x_mm, double f_line_mm, double space_mm) {
    constexpr std::array<BrushPoint, 10> kLine{{{-0.98, 0.02, 0.10},
                                                {-0.92, 0.52, 0.11},
                                                {-0.52, 0.94, 0.13},
                                                {0.02, 1.00, 0.18},
                                                {0.56, 0.72, 0.36},
                                                {0.78, 0.10, 0.46},
                                                {0.64, -0.70, 0.36},
                                                {0.18, -1.48, 0.22},
                                                {-0.46, -2.08, 0.12},
                                                {-1.14, -2.50, 0.05}}};
    const Place place{x_mm, f_line_mm, space_mm};
    brush(page, kLine, place);
    disc(page, place, -0.66, 0.02, 0.36);
    disc(page, place, 1.42, 0.50, 0.19);
    disc(page, place, 1.42, -0.50, 0.19);
}

void draw_whole_note(cairo_t* page, double x_mm, double y_mm, double space_mm) {
    const Place place{x_mm, y_mm, space_mm};
    cairo_new_path(page);
    add_ellipse(page, place, 0.88, 0.52, 0.0);
    add_ellipse(page, place, 0.48, 0.32, 0.95);
    cairo_set_fill_rule(page, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_fill(page);
    cairo_set_fill_rule(page, CAIRO_FILL_RULE_WINDING);
}

void draw_sharp(cairo_t* page, double x_mm, double y_mm, double space_mm) {
    const Place place{x_mm, y_mm, space_mm};
    constexpr std::array<std::array<BrushPoint, 2>, 4> kStrokes{{
        {{{-0.19, -1.42, 0.11}, {-0.19, 1.26, 0.11}}},
        {{{0.19, -1.26, 0.11}, {0.19, 1.42, 0.11}}},
        {{{-0.46, 0.32, 0.28}, {0.46, 0.60, 0.28}}},
        {{{-0.46, -0.60, 0.28}, {0.46, -0.32, 0.28}}},
    }};
    for (const auto& stroke : kStrokes) {
        brush(page, stroke, place);
    }
}

void draw_flat(cairo_t* page, double x_mm, double y_mm, double space_mm) {
    const Place place{x_mm, y_mm, space_mm};
    constexpr std::array<BrushPoint, 2> kStem{{{-0.36, -0.70, 0.11}, {-0.36, 1.80, 0.11}}};
    constexpr std::array<BrushPoint, 6> kBowl{{{-0.36, 0.26, 0.06},
                                               {-0.10, 0.48, 0.16},
                                               {0.20, 0.46, 0.28},
                                               {0.28, 0.14, 0.32},
                                               {0.04, -0.30, 0.18},
                                               {-0.36, -0.68, 0.06}}};
    brush(page, kStem, place);
    brush(page, kBowl, place);
}

void draw_parentheses(
    cairo_t* page, double x_mm, double y_mm, double half_width_mm, double space_mm) {
    const Place place{x_mm, y_mm, space_mm};
    const double half = half_width_mm / space_mm;
    for (const double side : {-1.0, 1.0}) {
        const std::array<BrushPoint, 3> line{{{side * half, 0.95, 0.06},
                                              {side * (half + 0.34), 0.0, 0.19},
                                              {side * half, -0.95, 0.06}}};
        brush(page, line, place);
    }
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
