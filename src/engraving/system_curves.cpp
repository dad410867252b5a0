#include "engraving/metrics.h"
#include "engraving/system.h"

#include <algorithm>
#include <cmath>

namespace bellhand::engraving {

namespace {

/// A curve over (`up`) or under its ends.
PlacedCurve arched(Point from, Point to, float height, bool up, What what, int event) {
    const float lift =
        (up ? 1.0F : -1.0F) * height * 4.0F / 3.0F; // Bézier curves reach three quarters
    const float run = to.x - from.x;
    return {from,
            {from.x + 0.25F * run, from.y + lift},
            {to.x - 0.25F * run, to.y + lift},
            to,
            metrics::kTieMiddle,
            what,
            event};
}

class Curves {
public:
    explicit Curves(Making& making) : making_(making), context_(making.context) {}

    void draw() {
        for (std::size_t i = making_.first_event; i < making_.last_event; ++i) {
            if (context_.event(i).tie && context_.event(i).head) {
                tie_from(i);
            }
        }
        tie_into_line();
        // The inner ones first.
        std::vector<Slur> slurs = context_.score.slurs;
        std::erase_if(slurs, [this](const Slur& slur) {
            return slur.to < making_.first_event || slur.from >= making_.last_event ||
                   slur.to <= slur.from;
        });
        std::stable_sort(slurs.begin(), slurs.end(), [](const Slur& one, const Slur& other) {
            return one.to - one.from < other.to - other.from;
        });
        for (const Tuplet& tuplet : context_.score.tuplets) {
            draw_tuplet(tuplet);
        }
        for (const Slur& slur : slurs) {
            draw_slur(slur);
        }
    }

private:
    [[nodiscard]] std::size_t next_head(std::size_t from) const {
        std::size_t next = from + 1;
        while (next < context_.score.events.size() && context_.event(next).grace) {
            ++next;
        }
        return next;
    }

    void tie(float x0, float x1, const PlacedEvent& of) {
        const bool up = !of.stem_up;
        const float y = of.y() + (up ? 0.62F : -0.62F);
        const float height = std::clamp(0.2F + 0.07F * (x1 - x0), 0.3F, 0.9F);
        making_.curve(arched({x0, y}, {x1, y}, height, up, What::tie, static_cast<int>(of.event)));
    }

    void tie_from(std::size_t index) {
        const PlacedEvent& from = *making_.placed(index);
        const std::size_t next = next_head(index);
        const PlacedEvent* to = making_.placed(next);
        const float x0 = from.x + 0.2F + dots_room(from);
        if (to != nullptr) {
            tie(x0, to->x - 0.2F, from);
        } else if (next < context_.score.events.size()) {
            tie(x0, std::max(x0 + 1.2F, making_.columns.back().x - 0.3F), from);
        }
    }

    [[nodiscard]] float dots_room(const PlacedEvent& placed) const {
        return context_.event(placed.event).value.dots > 0 ? 0.3F : 0.0F;
    }

    /// The rest of a tie that began in the line before.
    void tie_into_line() {
        if (making_.first_event == 0 || making_.events.empty()) {
            return;
        }
        std::size_t before = making_.first_event - 1;
        while (before > 0 && context_.event(before).grace) {
            --before;
        }
        const std::size_t next = next_head(before);
        const PlacedEvent* to = making_.placed(next);
        if (context_.event(before).tie && context_.event(before).head && to != nullptr) {
            tie(std::min(making_.notes_from - 0.2F, to->x - 1.6F), to->x - 0.2F, *to);
        }
    }

    [[nodiscard]] bool over(const Slur& slur) const {
        const std::size_t from = std::max(slur.from, making_.first_event);
        const std::size_t to = std::min(slur.to, making_.last_event - 1);
        for (std::size_t i = from; i <= to; ++i) {
            const PlacedEvent& placed = *making_.placed(i);
            if (context_.event(i).head && !context_.event(i).grace && !placed.stem_up) {
                return true;
            }
        }
        return false;
    }

    [[nodiscard]] Point slur_end(const PlacedEvent& placed, bool up) const {
        const float head = placed.y() + (up ? 0.8F : -0.8F);
        const bool own_stem =
            placed.stem_up == up && context_.event(placed.event).value.halvings > 0;
        if (!own_stem) {
            return {placed.x, head};
        }
        const float stem = placed.stem_end + (up ? 0.4F : -0.4F);
        return {placed.x, up ? std::max(head, stem) : std::min(head, stem)};
    }

    void draw_slur(const Slur& slur) {
        const bool up = over(slur);
        const PlacedEvent* begin = making_.placed(slur.from);
        const PlacedEvent* end = making_.placed(slur.to);
        Point from = begin != nullptr ? slur_end(*begin, up) : Point{};
        Point to = end != nullptr ? slur_end(*end, up) : Point{};
        if (begin == nullptr) {
            from = {making_.notes_from - 0.4F, to.y + (up ? 0.4F : -0.4F)};
        }
        if (end == nullptr) {
            to = {making_.columns.back().x - 0.3F, from.y + (up ? 0.4F : -0.4F)};
        }
        from.x += begin != nullptr ? 0.1F : 0.0F;
        to.x -= end != nullptr ? 0.1F : 0.0F;
        const int event = static_cast<int>(slur.from);
        float height = std::clamp(0.45F + 0.07F * (to.x - from.x), 0.6F, 2.0F);
        PlacedCurve curve = arched(from, to, height, up, What::slur, event);
        constexpr int kTries = 14;
        for (int i = 0; i < kTries && hits(curve, slur, up); ++i) {
            height += 0.3F;
            curve = arched(from, to, height, up, What::slur, event);
        }
        making_.curve(curve);
    }

    /// Whether the curve runs through a note between its ends.
    [[nodiscard]] bool hits(const PlacedCurve& curve, const Slur& slur, bool up) const {
        for (const PlacedEvent& placed : making_.events) {
            if (placed.event <= slur.from || placed.event >= slur.to) {
                continue;
            }
            const float run = std::max(0.1F, curve.to.x - curve.from.x);
            const float t = std::clamp((placed.x - curve.from.x) / run, 0.0F, 1.0F);
            const float u = 1.0F - t;
            const float y = u * u * u * curve.from.y + 3.0F * u * u * t * curve.lead.y +
                            3.0F * u * t * t * curve.trail.y + t * t * t * curve.to.y;
            float reach = placed.y() + (up ? 0.9F : -0.9F);
            if (placed.stem_up == up) {
                reach = up ? std::max(reach, placed.stem_end + 0.4F)
                           : std::min(reach, placed.stem_end - 0.4F);
            }
            if (up ? y < reach : y > reach) {
                return true;
            }
        }
        return false;
    }

    void draw_tuplet(const Tuplet& tuplet) {
        const PlacedEvent* begin = making_.placed(tuplet.from);
        const PlacedEvent* end = making_.placed(tuplet.to);
        if (begin == nullptr || end == nullptr) {
            return;
        }
        const int group = context_.groups[tuplet.from];
        bool beamed = group >= 0;
        bool up = true;
        int heads = 0;
        int stems_up = 0;
        for (std::size_t i = tuplet.from; i <= tuplet.to; ++i) {
            const Event& event = context_.event(i);
            beamed = beamed && (context_.groups[i] == group || event.grace);
            heads += event.head ? 1 : 0;
            stems_up += event.head && making_.placed(i)->stem_up ? 1 : 0;
        }
        beamed =
            beamed && (tuplet.from == 0 || context_.groups[tuplet.from - 1] != group) &&
            (tuplet.to + 1 >= context_.groups.size() || context_.groups[tuplet.to + 1] != group);
        up = 2 * stems_up >= heads;
        const float x0 = begin->x - 0.6F;
        const float x1 = end->x + 0.6F;
        const float middle = 0.5F * (x0 + x1);
        const float edge = up ? making_.sky.above(x0, x1) : making_.sky.below(x0, x1);
        const float y = edge + (up ? 1.0F : -1.0F);
        const std::string digits = std::to_string(tuplet.actual);
        constexpr float kSize = 0.62F;
        float wide = 0.0F;
        for (const char digit : digits) {
            wide += kSize * outline_of(figure(digit)).high.x;
        }
        float x = middle - 0.5F * wide;
        for (const char digit : digits) {
            making_.sign(figure(digit), {x, y}, What::tuplet, static_cast<int>(tuplet.from), kSize);
            x += kSize * outline_of(figure(digit)).high.x;
        }
        if (beamed) {
            return;
        }
        const float gap = 0.5F * wide + 0.35F;
        const float hook = up ? -0.7F : 0.7F;
        const auto line = [&](Point from, Point to) {
            making_.line(
                from, to, metrics::kTupletBracket, What::tuplet, static_cast<int>(tuplet.from));
        };
        line({x0, y + hook}, {x0, y});
        line({x0, y}, {middle - gap, y});
        line({middle + gap, y}, {x1, y});
        line({x1, y}, {x1, y + hook});
    }

    Making& making_;
    const Context& context_;
};

} // namespace

void draw_curves(Making& making) {
    Curves(making).draw();
}

} // namespace bellhand::engraving
