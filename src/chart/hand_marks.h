#pragma once

#include "chart/paper.h"
#include "horn/hand_chart.h"

namespace bellhand::chart {

/// Signs side by side, "o", "¾–+", from a left edge around `middle_mm`; returns their width. With `only_measure` nothing
/// is drawn. The size is that of the fractions; of the style's alignment nothing is used.
double draw_hand(cairo_t* page,
                 double left_mm,
                 double middle_mm,
                 const horn::HandWay& way,
                 const TextStyle& style,
                 bool only_measure = false);

/// The usual way, large, centred on a note.
void draw_hand_centred(
    cairo_t* page, double x_mm, double middle_mm, const horn::HandWay& way, double grey);

/// "8 +", "14 ¼–½", "3 o lip": another way, small, centred on a note.
void draw_other_way(
    cairo_t* page, double x_mm, double baseline_mm, const horn::HandWay& way, double grey);

} // namespace bellhand::chart
