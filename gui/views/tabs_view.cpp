#include "gui/views/surface.h"
#include "gui/views/views.h"

#include <algorithm>
#include <string>

namespace bellhand::gui {

namespace {

std::string key_of(int screen) {
    return std::string(1, desk::digit_of(static_cast<desk::Screen>(screen)));
}

} // namespace

void draw_tabs(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    constexpr int kCount = desk::kTurnedOver;
    const bool awake = desk.acts('1');
    const float cap = canvas.small_cap();
    const float after_key = 0.4F * canvas.em;
    float total = 0.0F;
    for (int i = 0; i < kCount; ++i) {
        total += canvas.key_cap_width(key_of(i)) + after_key +
                 canvas.width(Face::strong, cap, desk::name_of(static_cast<desk::Screen>(i)));
    }
    const float gap =
        std::min(2.2F * canvas.em, (box.width() - total) / static_cast<float>(kCount - 1));
    const float baseline = box.middle_y() + 0.5F * cap;
    float x = box.x0;
    for (int i = 0; i < kCount; ++i) {
        const auto screen = static_cast<desk::Screen>(i);
        const std::string key = key_of(i);
        const float wide = canvas.key_cap_width(key) + after_key +
                           canvas.width(Face::strong, cap, desk::name_of(screen));
        bool hovered = false;
        const std::string id = std::string("tab ") + desk::name_of(screen);
        if (desk.sheet() == desk::Sheet::none &&
            hot_spot(
                id.c_str(), {x - 0.4F * gap, box.y0, x + wide + 0.4F * gap, box.y1}, &hovered)) {
            desk.show(screen);
        }
        const bool here = desk.screen() == screen;
        if (awake) {
            canvas.key_cap(x, baseline, key);
        }
        canvas.text(here ? Face::strong : Face::text,
                    cap,
                    x + canvas.key_cap_width(key) + after_key,
                    baseline,
                    Align::left,
                    here      ? canvas.colour.ink
                    : hovered ? canvas.colour.brass
                              : canvas.colour.ink_soft,
                    desk::name_of(screen));
        if (here) {
            canvas.fill({x, box.y1 - 0.2F * canvas.em, x + wide, box.y1}, canvas.colour.brass);
        }
        x += wide + gap;
    }
    canvas.hairline(box.x0, box.y1, box.x1, box.y1);
}

} // namespace bellhand::gui
