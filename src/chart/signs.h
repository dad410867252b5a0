#pragma once

#include "engraving/outline.h"

// As cairo.h declares it.
using cairo_t = struct _cairo; // NOLINT(bugprone-reserved-identifier): the library's own name

namespace bellhand::chart {

/// Where a staff stands on the page: the middle of its lowest line at the left, and its measure.
struct Staff {
    double x_mm = 0.0;
    double bottom_line_mm = 0.0; ///< y, downwards
    double space_mm = 1.75;      ///< between two lines
};

/// All shapes are drawn in the current colour: the outlines of `engraving`, no music font. `space_mm` is the staff space
/// they fit.
/// Any sign of the engraving, its origin at the point.
void draw_sign(cairo_t* page, engraving::Sign sign, double x_mm, double y_mm, double space_mm);
void draw_treble_clef(cairo_t* page, double x_mm, double g_line_mm, double space_mm);
void draw_bass_clef(cairo_t* page, double x_mm, double f_line_mm, double space_mm);
void draw_whole_note(cairo_t* page, double x_mm, double y_mm, double space_mm);
void draw_sharp(cairo_t* page, double x_mm, double y_mm, double space_mm);
void draw_flat(cairo_t* page, double x_mm, double y_mm, double space_mm);
void draw_parentheses(
    cairo_t* page, double x_mm, double y_mm, double half_width_mm, double space_mm);

/// Five lines of the length `width_mm`.
void draw_staff_lines(cairo_t* page, const Staff& staff, double width_mm);

/// The open sign, a small circle around the point.
void draw_open_sign(cairo_t* page, double x_mm, double y_mm, double radius_mm);
/// The stopped sign, an upright cross around the point.
void draw_stopped_sign(cairo_t* page, double x_mm, double y_mm, double radius_mm);

} // namespace bellhand::chart
