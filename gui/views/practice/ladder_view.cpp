#include "core/cents.h"
#include "desk/model/ladder.h"
#include "desk/model/phrases.h"
#include "gui/views/page_parts.h"
#include "gui/views/views.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include <imgui.h>

namespace bellhand::gui {

namespace {

constexpr int kLowestPartial = 2;
constexpr int kUsualTop = 16;
constexpr int kHighestPartial = 24;

/// Where things stand in the ladder's box.
struct Frame {
    Box box;
    double low_cents;
    double high_cents;
    float left_rail;
    float right_rail;

    [[nodiscard]] float y(double cents) const noexcept {
        const double share = (cents - low_cents) / (high_cents - low_cents);
        return box.y1 - static_cast<float>(share) * box.height();
    }
};

/// A measure between two rungs, as on a maker's drawing: a line with end strokes and the figure beside it.
void draw_measure(
    const Canvas& canvas, const Frame& frame, double from_cents, double to_cents, float x) {
    const float y0 = frame.y(to_cents);
    const float y1 = frame.y(from_cents);
    const float cap = canvas.played_cap();
    const float tick = 0.25F * canvas.em;
    const float thick = std::round(canvas.hair());
    canvas.fill({std::round(x), y0, std::round(x) + thick, y1}, canvas.colour.ink_soft);
    canvas.level_line(x - tick, x + tick, y0, canvas.colour.ink_soft, thick);
    canvas.level_line(x - tick, x + tick, y1, canvas.colour.ink_soft, thick);
    canvas.text(Face::text,
                cap,
                x + 0.45F * canvas.em,
                0.5F * (y0 + y1 + cap),
                Align::left,
                canvas.colour.ink_soft,
                std::to_string(std::lround(to_cents - from_cents)));
}

void draw_rung(
    const Canvas& canvas, const Frame& frame, const desk::Rung& rung, bool chosen, bool labelled) {
    const float y = frame.y(rung.cents);
    canvas.level_line(frame.left_rail,
                      frame.right_rail,
                      y,
                      chosen ? canvas.colour.brass : canvas.colour.ink_soft,
                      chosen ? 0.22F * canvas.em : canvas.hair());
    if (!labelled) {
        return;
    }
    const float cap = chosen ? 1.1F * canvas.played_cap() : canvas.played_cap();
    const Colour ink = chosen ? canvas.colour.ink : canvas.colour.ink_soft;
    canvas.text(Face::music,
                cap,
                frame.left_rail - 0.7F * canvas.em,
                y + 0.5F * cap,
                Align::right,
                ink,
                std::to_string(rung.partial));
    canvas.text(Face::music,
                cap,
                frame.right_rail + 0.8F * canvas.em,
                y + 0.5F * cap,
                Align::left,
                ink,
                horn::display_name(rung.written));
}

/// The sound itself: a lozenge on the rails with a line across.
void draw_sound(const Canvas& canvas, const Frame& frame, double cents, bool sure) {
    const Colour ink = sure ? canvas.colour.voice : canvas.colour.voice_pale;
    const float y = std::clamp(frame.y(cents), frame.box.y0, frame.box.y1);
    const float half = 0.45F * canvas.em;
    const float x = 0.5F * (frame.left_rail + frame.right_rail);
    canvas.line(frame.left_rail - 0.3F * canvas.em,
                y,
                frame.right_rail + 0.3F * canvas.em,
                y,
                ink,
                std::max(2.0F, 0.14F * canvas.em));
    canvas.list.AddQuadFilled(ImVec2(x - half * 1.5F, y),
                              ImVec2(x, y - half),
                              ImVec2(x + half * 1.5F, y),
                              ImVec2(x, y + half),
                              ink);
}

/// From the natural note to where the hand should take it.
void draw_bend(const Canvas& canvas, const Frame& frame, double from_cents, double to_cents) {
    const float x = frame.left_rail + 0.22F * (frame.right_rail - frame.left_rail);
    const float y0 = frame.y(from_cents);
    const float y1 = frame.y(to_cents);
    const float head = 0.3F * canvas.em;
    if (std::abs(y1 - y0) < head) {
        return;
    }
    const float turn = y1 > y0 ? -head : head;
    canvas.line(x, y0, x, y1 + turn, canvas.colour.brass, std::max(1.5F, 0.1F * canvas.em));
    canvas.list.AddTriangleFilled(ImVec2(x - 0.8F * head, y1 + turn),
                                  ImVec2(x + 0.8F * head, y1 + turn),
                                  ImVec2(x, y1),
                                  canvas.colour.brass);
}

} // namespace

void draw_ladder(const Canvas& canvas, const desk::Desk& desk, const Box& box) {
    const std::optional<desk::ShownNote>& note = desk.session().view().note();
    const int chosen = note ? note->note.partial : 0;
    const int top = chosen > kUsualTop ? kHighestPartial : kUsualTop;
    const std::vector<desk::Rung> rungs =
        desk::ladder(desk.session().tuning(), kLowestPartial, top);

    Box rest = box;
    const Box caption = rest.take_top(2.2F * canvas.em);
    draw_small_heading(canvas,
                       caption,
                       std::string("natural notes of the ") + desk.session().tuning().crook.label +
                           " tube");
    Frame frame{rest.shrunk(0.0F, 0.8F * canvas.em),
                rungs.front().cents - 60.0,
                rungs.back().cents + 60.0,
                0.0F,
                0.0F};
    const float labels = canvas.played().em;
    frame.left_rail = rest.x0 + 2.4F * labels;
    frame.right_rail = frame.left_rail + std::min(6.0F * canvas.em, 0.28F * rest.width());
    const float thick = std::max(1.0F, std::round(0.09F * canvas.em));
    for (const float rail : {frame.left_rail, frame.right_rail}) {
        canvas.fill({rail - 0.5F * thick,
                     frame.box.y0 - 0.4F * canvas.em,
                     rail + 0.5F * thick,
                     frame.box.y1 + 0.4F * canvas.em},
                    canvas.colour.ink_soft);
    }

    // Labels thin out where rungs stand close; the chosen one and its neighbours come first.
    const float room = 1.25F * canvas.played_cap();
    float last_y = 1e9F;
    const desk::Rung* below = nullptr;
    const desk::Rung* here = nullptr;
    const desk::Rung* above = nullptr;
    for (const desk::Rung& rung : rungs) {
        const float y = frame.y(rung.cents);
        const bool near_chosen = chosen > 0 && std::abs(rung.partial - chosen) == 1;
        const float to_chosen =
            chosen > 0 && rung.partial != chosen
                ? std::abs(y - frame.y(cents_between(static_cast<double>(chosen), 1.0)))
                : 1e9F;
        const bool fits = last_y - y > room && to_chosen > room * 1.15F;
        const bool labelled = rung.partial == chosen || fits;
        draw_rung(canvas, frame, rung, rung.partial == chosen, labelled);
        if (labelled) {
            last_y = y;
        }
        if (rung.partial == chosen) {
            here = &rung;
        } else if (near_chosen) {
            (rung.partial < chosen ? below : above) = &rung;
        }
    }
    if (here == nullptr) {
        return;
    }
    const float measures = frame.right_rail + 2.9F * labels;
    if (below != nullptr) {
        draw_measure(canvas, frame, below->cents, here->cents, measures);
    }
    if (above != nullptr) {
        draw_measure(canvas, frame, here->cents, above->cents, measures);
    }
    const desk::LadderPlace target =
        desk::place_on_ladder(note->note.target_hz, desk.session().tuning());
    draw_bend(canvas, frame, here->cents, target.cents);
    const trainer::Reading& newest = desk.session().view().newest();
    if (newest.has_note) {
        draw_sound(canvas,
                   frame,
                   desk::place_on_ladder(newest.frame.f0_hz, desk.session().tuning()).cents,
                   !newest.frame.doubtful);
    }
}

} // namespace bellhand::gui
