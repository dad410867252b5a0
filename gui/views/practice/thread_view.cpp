#include "desk/model/phrases.h"
#include "gui/views/views.h"
#include "trainer/tolerance.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <imgui.h>

namespace bellhand::gui {

namespace {

constexpr double kShown_s = 8.0;
constexpr float kRange_cents = 40.0F;

/// Turns time and cents into places in the window.
struct Plot {
    Box box;
    double now_s;

    [[nodiscard]] float x(double time_s) const noexcept {
        return box.x1 - static_cast<float>((now_s - time_s) / kShown_s) * box.width();
    }
    [[nodiscard]] float y(float cents) const noexcept {
        const float inside = std::clamp(cents, -kRange_cents, kRange_cents);
        return box.middle_y() - inside / kRange_cents * 0.5F * box.height();
    }
};

/// The pitch of one note as a line; points closer than a pixel or so are drawn as their mean. They are gathered by
/// absolute time, or the line would tremble while it moves.
class Line {
public:
    Line(const Canvas& canvas, const Plot& plot)
        : canvas_(canvas),
          plot_(plot),
          slot_s_(3.0 * kShown_s / static_cast<double>(plot.box.width())) {}

    void add(const desk::ThreadPoint& point) {
        const double slot = std::floor(point.time_s / slot_s_);
        if (slot != slot_ && in_slot_ > 0) {
            put();
        }
        slot_ = slot;
        time_sum_ += point.time_s;
        cents_sum_ += static_cast<double>(point.cents);
        ++in_slot_;
    }

    void end() {
        draw();
        count_ = 0;
    }

    /// What follows is heard surely or not; the line goes on from where it is.
    void turn(bool sure) {
        draw();
        count_ = 0;
        if (any_) {
            points_[count_++] = last_;
        }
        sure_ = sure;
    }

    void begin(bool sure) {
        end();
        any_ = false;
        sure_ = sure;
    }

    [[nodiscard]] ImVec2 last() const noexcept { return last_; }

private:
    /// Thick, or pale and thin.
    void draw() {
        if (in_slot_ > 0) {
            put();
        }
        if (count_ > 1) {
            const float thick = std::max(2.0F, 0.17F * canvas_.em);
            canvas_.list.AddPolyline(points_.data(),
                                     static_cast<int>(count_),
                                     sure_ ? canvas_.colour.voice : canvas_.colour.voice_pale,
                                     0,
                                     sure_ ? thick : std::max(1.5F, 0.5F * thick));
        }
    }

    void put() {
        any_ = true;
        const auto n = static_cast<double>(in_slot_);
        last_ = ImVec2(plot_.x(time_sum_ / n), plot_.y(static_cast<float>(cents_sum_ / n)));
        if (count_ < points_.size()) {
            points_[count_++] = last_;
        }
        in_slot_ = 0;
        time_sum_ = 0.0;
        cents_sum_ = 0.0;
    }

    const Canvas& canvas_;
    const Plot& plot_;
    double slot_s_;
    double slot_ = -1.0;
    int in_slot_ = 0;
    double time_sum_ = 0.0;
    double cents_sum_ = 0.0;
    std::array<ImVec2, desk::PitchThread::kPoints> points_{};
    std::size_t count_ = 0;
    bool any_ = false; ///< of this note
    bool sure_ = true;
    ImVec2 last_{};
};

void draw_band(const Canvas& canvas, const Plot& plot, float x0, float x1, double cents) {
    const auto tolerance = static_cast<float>(cents);
    const float gap = 0.5F * canvas.hair(); // between neighbours
    const Box band{std::max(x0 + gap, plot.box.x0),
                   plot.y(tolerance),
                   std::min(x1 - gap, plot.box.x1),
                   plot.y(-tolerance)};
    if (band.x1 <= band.x0) {
        return;
    }
    canvas.fill(band, canvas.colour.brass_soft);
    const float thick = canvas.hair();
    canvas.fill({band.x0, band.y0, band.x1, band.y0 + thick}, canvas.colour.brass);
    canvas.fill({band.x0, band.y1 - thick, band.x1, band.y1}, canvas.colour.brass);
}

void draw_scale(const Canvas& canvas, const Plot& plot) {
    const bool crowded = plot.box.height() < 8.0F * canvas.played_cap();
    for (const float cents : {-kRange_cents, -20.0F, 20.0F, kRange_cents}) {
        if (crowded && std::abs(cents) < kRange_cents) {
            continue;
        }
        const float y = plot.y(cents);
        canvas.hairline(plot.box.x0, y, plot.box.x1, y);
        canvas.text(Face::text,
                    canvas.played_cap(),
                    plot.box.x0 - 0.6F * canvas.em,
                    y + 0.5F * canvas.played_cap(),
                    Align::right,
                    canvas.colour.ink_soft,
                    desk::signed_cents(static_cast<double>(cents)));
    }
}

} // namespace

void draw_thread(const Canvas& canvas, const desk::Desk& desk, const Box& box) {
    const desk::PitchThread& thread = desk.session().view().thread();
    Box rest = box;
    const Box labels = rest.take_bottom(1.3F * canvas.played().em);
    rest.take_left(2.4F * canvas.played().em);
    const Plot plot{rest, desk.session().view().time_at(desk.session().wall_s())};
    draw_scale(canvas, plot);

    // Bands first, so that the line lies on them.
    const std::size_t count = thread.size();
    std::size_t first = 0;
    while (first < count && thread[first].time_s < plot.now_s - kShown_s) {
        ++first;
    }
    float name_end = plot.box.x0 - 1.0F;
    for (std::size_t i = first; i < count;) {
        if (!thread[i].sounding) {
            ++i;
            continue;
        }
        std::size_t end = i;
        while (end < count && thread[end].sounding && thread[end].written == thread[i].written) {
            ++end;
        }
        const float x0 = plot.x(thread[i].time_s);
        const float x1 = plot.x(thread[end - 1].time_s);
        draw_band(canvas,
                  plot,
                  x0,
                  x1,
                  desk.session().tolerance_factor() * trainer::tolerance_cents(thread[i].hand));
        // A name stands under the beginning of its note, and leaves with its end; names never touch.
        const float cap = canvas.played_cap();
        const float wide = canvas.note_name_width(thread[i].written, cap);
        const float at = std::max(x0, plot.box.x0);
        const bool entered = x0 >= plot.box.x0;
        if (at > name_end && (entered || at + wide < x1) && at + wide < box.x1 &&
            x1 - x0 > 0.4F * canvas.em) {
            canvas.note_name(thread[i].written,
                             cap,
                             at,
                             labels.y1 - 0.4F * canvas.em,
                             Align::left,
                             canvas.colour.ink);
            name_end = at + wide + 0.35F * canvas.em;
        }
        i = end;
    }
    // The target itself runs through.
    canvas.fill({plot.box.x0,
                 plot.y(0.0F) - 0.5F * canvas.hair(),
                 plot.box.x1,
                 plot.y(0.0F) + 0.5F * canvas.hair()},
                canvas.colour.brass);

    ImGui::PushClipRect(ImVec2(plot.box.x0, box.y0), ImVec2(box.x1 + canvas.em, box.y1), true);
    Line line(canvas, plot);
    for (std::size_t i = first; i < count; ++i) {
        const bool broken = i > first && (thread[i].sounding != thread[i - 1].sounding ||
                                          !(thread[i].written == thread[i - 1].written));
        if (broken || i == first) {
            line.begin(thread[i].sure);
        } else if (thread[i].sounding && thread[i].sure != thread[i - 1].sure) {
            line.turn(thread[i].sure);
        }
        if (thread[i].sounding) {
            line.add(thread[i]);
        }
    }
    line.end();
    if (count > 0 && thread[count - 1].sounding) {
        const bool sure = thread[count - 1].sure;
        canvas.dot(line.last().x,
                   line.last().y,
                   (sure ? 0.34F : 0.24F) * canvas.em,
                   sure ? canvas.colour.voice : canvas.colour.voice_pale);
    }
    ImGui::PopClipRect();
}

} // namespace bellhand::gui
