#pragma once

#include "desk/desk.h"
#include "gui/canvas.h"
#include "gui/views/surface.h"

#include <algorithm>
#include <string>

namespace bellhand::gui {

/// What one row of a sheet says.
struct SheetRow {
    std::string words;
    std::string remark;
};

/// Rows one under the other, the chosen one marked by a bar at its edge and by bold type; those out of sight are
/// reached by moving the choice.
inline void draw_rows(
    const Canvas& canvas, desk::Desk& desk, Box box, int count, float height, const auto& row_at) {
    const int chosen_row = desk.sheets().at(desk.sheet())->selected();
    Box above{};
    Box below{};
    if (static_cast<float>(count) * height >
        box.height()) { // lines of their own say that there are more
        above = box.take_top(1.3F * canvas.em);
        below = box.take_bottom(1.3F * canvas.em);
    }
    const int visible = std::max(1, static_cast<int>(box.height() / height));
    const int first = std::clamp(chosen_row - visible / 2, 0, std::max(0, count - visible));
    for (int index = first; index < std::min(count, first + visible); ++index) {
        const float y = box.y0 + static_cast<float>(index - first) * height;
        const Box place{box.x0, y, box.x1, y + height};
        bool hovered = false;
        const std::string id = "row " + std::to_string(index);
        if (hot_spot(id.c_str(), place, &hovered)) {
            desk.accept(index);
            return;
        }
        const bool chosen = index == chosen_row;
        const float margin = 1.0F * canvas.em;
        if (chosen) {
            canvas.fill({place.x0, place.y0, place.x1, place.y1},
                        canvas.colour.brass_soft,
                        0.2F * canvas.em);
            canvas.fill({place.x0, place.y0, place.x0 + 0.3F * canvas.em, place.y1},
                        canvas.colour.brass);
        } else if (hovered) {
            canvas.fill(place, faded(canvas.colour.brass_soft, 0.45F), 0.2F * canvas.em);
        }
        const SheetRow row = row_at(index);
        const float baseline = place.middle_y() + 0.5F * canvas.cap();
        const float remark_wide = std::min(canvas.width(Face::text, canvas.small_cap(), row.remark),
                                           0.55F * place.width());
        canvas.text_within(chosen ? Face::strong : Face::text,
                           canvas.cap(),
                           place.x0 + margin,
                           baseline,
                           place.width() - remark_wide - 2.5F * margin,
                           canvas.colour.ink,
                           row.words);
        canvas.text_within(Face::text,
                           canvas.small_cap(),
                           place.x1 - margin - remark_wide,
                           baseline,
                           remark_wide + 1.0F,
                           canvas.colour.ink_soft,
                           row.remark);
    }
    if (first > 0) {
        canvas.text(Face::text,
                    canvas.small_cap(),
                    above.x1,
                    above.y1 - 0.45F * canvas.em,
                    Align::right,
                    canvas.colour.ink_soft,
                    std::to_string(first) + " more above");
    }
    if (first + visible < count) {
        canvas.text(Face::text,
                    canvas.small_cap(),
                    below.x1,
                    below.y1 - 0.35F * canvas.em,
                    Align::right,
                    canvas.colour.ink_soft,
                    std::to_string(count - first - visible) + " more below");
    }
}

} // namespace bellhand::gui
