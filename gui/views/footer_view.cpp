#include "desk/model/status_line.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::gui {

namespace {

constexpr double kQuietest_dbfs = -66.0;

void draw_level(const Canvas& canvas, const desk::Desk& desk, const Box& box) {
    const auto share = [](double dbfs) {
        return static_cast<float>(std::clamp((dbfs - kQuietest_dbfs) / -kQuietest_dbfs, 0.0, 1.0));
    };
    const float y = box.middle_y();
    const float tall = 0.22F * canvas.em;
    const Box track{box.x0, y - tall, box.x1, y + tall};
    canvas.fill(track, mixed(canvas.colour.paper, canvas.colour.rule, 0.6F), tall);
    if (desk.view().any_sound()) {
        const float long_px = share(desk.view().level_dbfs()) * track.width();
        if (long_px > 2.0F * tall) { // shorter would be no bar but a blot
            canvas.fill(
                {track.x0, track.y0, track.x0 + long_px, track.y1}, canvas.colour.ink_soft, tall);
        }
        const float room =
            track.x0 +
            share(static_cast<double>(desk.view().newest().frame.noise_dbfs)) * track.width();
        canvas.fill({room, y - 2.2F * tall, room + canvas.hair() * 1.5F, y + 2.2F * tall},
                    canvas.colour.brass);
    }
}

struct Hint {
    const char* key;
    const char* words;
    void (*act)(desk::Desk&);
};

constexpr std::array kHints{
    Hint{"H", "help", [](desk::Desk& desk) { desk.open(desk::Sheet::help); }},
    Hint{"D", "light or dark", [](desk::Desk& desk) { desk.change_paper(); }},
};

/// From the right margin leftwards, as many as fit; returns where they begin.
float draw_hints(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    float x = box.x1;
    const float baseline = box.middle_y() + 0.5F * canvas.small_cap();
    const auto hint = [&](const char* key, const char* words) -> bool {
        const float wide = canvas.key_hint_width(key, words);
        if (x - wide < box.x0) {
            return false;
        }
        x -= wide;
        bool hovered = false;
        const bool clicked = desk.sheet() == desk::Sheet::none &&
                             hot_spot(words, {x, box.y0, x + wide, box.y1}, &hovered);
        canvas.key_hint(
            x, baseline, key, words, hovered ? canvas.colour.brass : canvas.colour.ink_soft);
        x -= 1.3F * canvas.em;
        return clicked;
    };
    if (hint("Space", desk.listening() ? "end session" : "begin session")) {
        desk.toggle_session();
    }
    for (const Hint& each : kHints) {
        if (hint(each.key, each.words)) {
            each.act(desk);
        }
    }
    const desk::Screen next = desk.next_screen();
    if (hint("PgDn", desk::name_of(next))) {
        desk.show(next);
    }
    if (next != desk::Screen::large && hint("L", "large view")) {
        desk.show(desk::Screen::large);
    }
    return x;
}

} // namespace

void draw_footer(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    Box rest = box;
    const Box level = rest.take_left(std::min(11.0F * canvas.em, 0.16F * box.width()));
    draw_level(canvas, desk, level);
    rest.take_left(1.4F * canvas.em);
    Box hints = rest;
    hints.x0 = rest.x0 + 0.34F * rest.width(); // the sentence keeps a third
    const float end = draw_hints(canvas, desk, hints);
    desk::StatusLine status = desk::status_line(desk.view(), desk.listening(), desk.problem());
    if (status.warning && !desk.view().note()) {
        status = {}; // it stands in the middle of the page already
    }
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       rest.x0,
                       rest.middle_y() + 0.5F * canvas.small_cap(),
                       end - rest.x0,
                       status.warning ? canvas.colour.warning : canvas.colour.ink_soft,
                       status.words);
}

} // namespace bellhand::gui
