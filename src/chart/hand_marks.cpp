#include "chart/hand_marks.h"

#include "chart/signs.h"

namespace bellhand::chart {

// Signs side by side, "o", "¾–+", from a left edge; returns their width. With `only_measure` nothing is drawn.
double draw_hand(cairo_t* page,
                 double left_mm,
                 double middle_mm,
                 const horn::HandWay& way,
                 const TextStyle& style,
                 bool only_measure) {
    const double size = style.size_mm;
    const double radius = 0.34 * size;
    double x = left_mm;
    const auto put = [&](horn::Hand hand) {
        const bool is_shape = hand == horn::Hand::open || hand == horn::Hand::full;
        const char* text = horn::hand_sign(hand);
        if (!only_measure && hand == horn::Hand::open) {
            draw_open_sign(page, x + radius, middle_mm, radius);
        } else if (!only_measure && hand == horn::Hand::full) {
            draw_stopped_sign(page, x + radius, middle_mm, radius);
        } else if (!only_measure) {
            draw_text(page, x, middle_mm + 0.36 * size, text, style);
        }
        x += is_shape ? 2.0 * radius : text_width_mm(page, text, style);
    };
    set_grey(page, style.grey);
    put(way.hand);
    if (way.hand_to != way.hand) {
        const double gap = 0.14 * size;
        const double dash = 0.30 * size;
        if (!only_measure) {
            draw_line(page, x + gap, middle_mm, x + gap + dash, middle_mm, 0.07 * size);
        }
        x += 2.0 * gap + dash;
        put(way.hand_to);
    }
    return x - left_mm;
}

void draw_hand_centred(
    cairo_t* page, double x_mm, double middle_mm, const horn::HandWay& way, double grey) {
    const bool range = way.hand_to != way.hand;
    const TextStyle style{range ? 3.9 : 4.8, false, grey, Align::left};
    const double width = draw_hand(page, x_mm, middle_mm, way, style, true);
    draw_hand(page, x_mm - 0.5 * width, middle_mm, way, style);
}

// "8 +", "14 ¼–½", "3 o lip": the second way, small.
void draw_other_way(
    cairo_t* page, double x_mm, double baseline_mm, const horn::HandWay& way, double grey) {
    const TextStyle style{2.7, false, grey, Align::left};
    const std::string partial = std::to_string(way.partial);
    const std::string manner = way.hand_out ? "out" : way.lip ? "lip" : "";
    const double gap = 0.7;
    const double partial_width = text_width_mm(page, partial, style);
    const double hand_width = draw_hand(page, 0.0, 0.0, way, style, true);
    const double manner_width = manner.empty() ? 0.0 : gap + text_width_mm(page, manner, style);
    double x = x_mm - 0.5 * (partial_width + gap + hand_width + manner_width);
    draw_text(page, x, baseline_mm, partial, style);
    x += partial_width + gap;
    draw_hand(page, x, baseline_mm - 0.95, way, style);
    draw_text(page, x + hand_width + gap, baseline_mm, manner, style);
}

} // namespace bellhand::chart
