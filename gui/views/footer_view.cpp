#include "desk/model/status_line.h"
#include "gui/views/page_parts.h"
#include "gui/views/views.h"

#include <algorithm>
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
    if (desk.session().view().any_sound()) {
        const float long_px = share(desk.session().view().level_dbfs()) * track.width();
        if (long_px > 2.0F * tall) { // shorter would be no bar but a blot
            canvas.fill(
                {track.x0, track.y0, track.x0 + long_px, track.y1}, canvas.colour.ink_soft, tall);
        }
        const float room =
            track.x0 + share(static_cast<double>(desk.session().view().newest().frame.noise_dbfs)) *
                           track.width();
        canvas.fill({room, y - 2.2F * tall, room + canvas.hair() * 1.5F, y + 2.2F * tall},
                    canvas.colour.brass);
    }
}

} // namespace

void draw_footer(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    Box rest = box;
    const Box level = rest.take_left(std::min(11.0F * canvas.em, 0.16F * box.width()));
    draw_level(canvas, desk, level);
    rest.take_left(1.4F * canvas.em);
    desk::StatusLine status = desk::status_line(
        desk.session().view(), desk.session().listening(), desk.session().problem());
    if (status.warning && !desk.session().view().note()) {
        status = {}; // it stands in the middle of the page already
    }
    if (const std::string said = desk.session().said(); !said.empty()) {
        status = {said, false};
    } else if (!status.warning && desk.session().tolerance_factor() != 1.0) {
        status.words = desk::strictness_words(desk.session().tolerance_factor());
    }
    draw_foot(canvas,
              desk,
              rest,
              status.words,
              status.warning ? canvas.colour.warning : canvas.colour.ink_soft);
}

} // namespace bellhand::gui
