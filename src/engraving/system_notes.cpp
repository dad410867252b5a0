#include "engraving/metrics.h"
#include "engraving/staff_place.h"
#include "engraving/system.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace bellhand::engraving {

namespace {

constexpr int kMiddleStep = 4;

int beams_of(const Event& event) noexcept {
    return std::max(0, event.value.halvings - 2);
}

Sign head_sign(const Value& value) noexcept {
    return value.halvings <= 0   ? Sign::whole_head
           : value.halvings == 1 ? Sign::half_head
                                 : Sign::notehead;
}

Sign rest_sign(const Value& value) noexcept {
    const int halvings = std::clamp(value.halvings, 0, 6);
    return static_cast<Sign>(static_cast<int>(Sign::whole_rest) + halvings);
}

Sign accidental_sign(int sharps) noexcept {
    static constexpr Sign kSigns[] = {
        Sign::double_flat, Sign::flat, Sign::natural, Sign::sharp, Sign::double_sharp};
    return kSigns[std::clamp(sharps, -2, 2) + 2];
}

class Notes {
public:
    explicit Notes(Making& making) : making_(making), context_(making.context) {}

    void draw() {
        place();
        choose_stems();
        for (std::size_t i = 0; i < making_.events.size();) {
            const std::size_t end = group_end(i);
            if (end > i + 1) {
                draw_beams(i, end);
            } else {
                lone_stem(making_.events[i]);
            }
            i = end;
        }
        for (const PlacedEvent& placed : making_.events) {
            draw_event(placed);
        }
    }

private:
    [[nodiscard]] const Event& event(const PlacedEvent& placed) const {
        return context_.event(placed.event);
    }
    [[nodiscard]] bool has_stem(const PlacedEvent& placed) const {
        return event(placed).head && event(placed).value.halvings > 0;
    }
    [[nodiscard]] float stem_x(const PlacedEvent& placed) const {
        const float reach = half_head(event(placed)) - 0.5F * metrics::kStem;
        return placed.stem_up ? placed.x + reach : placed.x - reach;
    }

    void place() {
        for (const Column& column : making_.columns) {
            if (column.kind != ColumnKind::event) {
                continue;
            }
            PlacedEvent placed;
            placed.event = column.event;
            placed.x = column.x;
            const Event& what = context_.event(column.event);
            if (what.head) {
                placed.step = head_step(*what.head,
                                        context_.clefs[column.event].clef,
                                        context_.clefs[column.event].octaves);
            }
            placed.stem_end = placed.y();
            making_.events.push_back(placed);
            making_.system.slots.push_back({column.event,
                                            column.x,
                                            column.x - column.before - 0.15F,
                                            column.x + column.after + 0.15F});
        }
        for (const BarRoom& bar : making_.system.bars) {
            centre_rests(bar);
        }
    }

    void centre_rests(const BarRoom& bar) {
        for (std::size_t i = 0; i < making_.events.size(); ++i) {
            PlacedEvent& placed = making_.events[i];
            if (event(placed).bar == bar.bar && event(placed).whole_bar) {
                placed.x = 0.5F * (bar.left + bar.right);
                making_.system.slots[i].x = placed.x;
            }
        }
    }

    [[nodiscard]] std::size_t group_end(std::size_t first) const {
        const int group = context_.groups[making_.events[first].event];
        std::size_t end = first + 1;
        while (group >= 0 && end < making_.events.size() &&
               context_.groups[making_.events[end].event] == group) {
            ++end;
        }
        return end;
    }

    void choose_stems() {
        for (std::size_t i = 0; i < making_.events.size();) {
            const std::size_t end = group_end(i);
            int furthest = 0;
            int sum = 0;
            for (std::size_t k = i; k < end; ++k) {
                const int away = making_.events[k].step - kMiddleStep;
                furthest = std::abs(away) > std::abs(furthest) ? away : furthest;
                sum += away;
            }
            bool up = furthest < 0 || (furthest == -furthest && sum < 0);
            up = up || event(making_.events[i]).grace;
            for (std::size_t k = i; k < end; ++k) {
                making_.events[k].stem_up = up;
            }
            i = end;
        }
    }

    void lone_stem(PlacedEvent& placed) {
        const Event& what = event(placed);
        if (!has_stem(placed)) {
            return;
        }
        const float size = size_of(what);
        const int flags = beams_of(what);
        const float length =
            size * (metrics::kStemLength + 0.75F * static_cast<float>(std::max(0, flags - 2)));
        float end = placed.y() + (placed.stem_up ? length : -length);
        if (!what.grace) { // at least to the middle line
            end = placed.stem_up ? std::max(end, 2.0F) : std::min(end, 2.0F);
        }
        placed.stem_end = end;
        stem(placed);
        const float x = stem_x(placed) - 0.5F * metrics::kStem;
        for (int i = 0; i < flags; ++i) {
            const float back = size * 0.75F * static_cast<float>(i);
            making_.sign(placed.stem_up ? Sign::flag_up : Sign::flag_down,
                         {x, end + (placed.stem_up ? -back : back)},
                         What::flag,
                         static_cast<int>(placed.event),
                         size);
        }
    }

    void stem(const PlacedEvent& placed) {
        const float from = placed.y() + (placed.stem_up ? 0.16F : -0.16F);
        const float x = stem_x(placed);
        making_.line({x, from},
                     {x, placed.stem_end},
                     metrics::kStem,
                     What::stem,
                     static_cast<int>(placed.event));
    }

    /// Where the outer edge of the beams runs.
    struct BeamLine {
        float x = 0.0F;
        float y = 0.0F;
        float slope = 0.0F;
        [[nodiscard]] float at(float place) const noexcept { return y + slope * (place - x); }
    };

    [[nodiscard]] BeamLine beam_line(std::size_t first, std::size_t last) const {
        const PlacedEvent& begin = making_.events[first];
        const PlacedEvent& end = making_.events[last - 1];
        const bool up = begin.stem_up;
        const float size = size_of(event(begin));
        BeamLine beam{stem_x(begin), 0.0F, 0.0F};
        const float run = stem_x(end) - stem_x(begin);
        const float steepest = size * std::min(1.25F, 0.09F * run + 0.25F);
        float rise = std::clamp(0.6F * (end.y() - begin.y()), -steepest, steepest);
        for (std::size_t i = first + 1; i + 1 < last; ++i) {
            // A note inside that stands nearer to the beam than both ends makes it level.
            const float y = making_.events[i].y();
            const bool inside =
                up ? y > std::max(begin.y(), end.y()) : y < std::min(begin.y(), end.y());
            rise = inside ? 0.0F : rise;
        }
        beam.slope = run > 0.0F ? rise / run : 0.0F;
        bool set = false;
        for (std::size_t i = first; i < last; ++i) {
            const PlacedEvent& placed = making_.events[i];
            const float length =
                size *
                (3.1F +
                 0.75F * static_cast<float>(std::max(0, beams_of(event(placed)) - 1)) * 0.8F);
            const float away = beam.slope * (stem_x(placed) - beam.x);
            float needed = placed.y() + (up ? length : -length) - away;
            if (!event(placed).grace) {
                needed = up ? std::max(needed, 2.2F - away) : std::min(needed, 1.8F - away);
            }
            beam.y = !set ? needed : up ? std::max(beam.y, needed) : std::min(beam.y, needed);
            set = true;
        }
        return beam;
    }

    void draw_beams(std::size_t first, std::size_t last) {
        const BeamLine beam = beam_line(first, last);
        const bool up = making_.events[first].stem_up;
        const float size = size_of(event(making_.events[first]));
        int most = 0;
        for (std::size_t i = first; i < last; ++i) {
            PlacedEvent& placed = making_.events[i];
            placed.stem_end = beam.at(stem_x(placed));
            stem(placed);
            most = std::max(most, beams_of(event(placed)));
        }
        for (int level = 1; level <= most; ++level) {
            const float inwards =
                size * (0.5F * metrics::kBeam +
                        static_cast<float>(level - 1) * (metrics::kBeam + metrics::kBetweenBeams));
            beam_level(first, last, level, beam, up ? -inwards : inwards, size);
        }
    }

    void beam_level(std::size_t first,
                    std::size_t last,
                    int level,
                    const BeamLine& beam,
                    float away,
                    float size) {
        const auto draw = [&](float x0, float x1, std::size_t of) {
            const float half = 0.5F * metrics::kStem;
            making_.line({x0 - half, beam.at(x0 - half) + away},
                         {x1 + half, beam.at(x1 + half) + away},
                         size * metrics::kBeam,
                         What::beam,
                         static_cast<int>(making_.events[of].event));
        };
        for (std::size_t i = first; i < last;) {
            std::size_t end = i;
            while (end < last && beams_of(event(making_.events[end])) >= level) {
                ++end;
            }
            if (end > i + 1) {
                draw(stem_x(making_.events[i]), stem_x(making_.events[end - 1]), i);
            } else if (end == i + 1) {
                const float x = stem_x(making_.events[i]);
                const float hook = size * 1.1F;
                if (hooks_back(i, first)) {
                    draw(x - hook, x, i);
                } else {
                    draw(x, x + hook, i);
                }
            }
            i = std::max(end, i + 1);
        }
    }

    /// A lone short note points to what it completes a beat with.
    [[nodiscard]] bool hooks_back(std::size_t at, std::size_t first) const {
        if (at == first) {
            return false;
        }
        const Event& what = event(making_.events[at]);
        const Event& before = event(making_.events[at - 1]);
        return before.value.dots > 0 || at + 1 >= making_.events.size() ||
               group_end(at) == at + 1 || what.ticks == 0 ||
               what.tick % std::max(1, 2 * what.ticks) != 0;
    }

    void draw_event(const PlacedEvent& placed) {
        const Event& what = event(placed);
        const int index = static_cast<int>(placed.event);
        const float size = size_of(what);
        if (!what.head) {
            Value value = what.value;
            value.halvings = what.whole_bar ? 0 : value.halvings;
            making_.sign(rest_sign(value), {placed.x, 2.0F}, What::rest, index, size);
            dots(placed, kMiddleStep, 0.75F);
            return;
        }
        making_.sign(head_sign(what.value), {placed.x, placed.y()}, What::head, index, size);
        ledgers(placed, size);
        if (const auto& sign = context_.accidentals[placed.event]) {
            const Sign drawn = accidental_sign(*sign);
            const float wide = outline_of(drawn).high.x;
            making_.sign(drawn,
                         {placed.x - half_head(what) - size * (wide + 0.25F), placed.y()},
                         What::accidental,
                         index,
                         size);
        }
        dots(placed, placed.step, half_head(what));
        tremolo(placed);
    }

    void ledgers(const PlacedEvent& placed, float size) {
        const float half = half_head(event(placed)) + size * metrics::kLedgerReach;
        const auto ledger = [&](int step) {
            const float y = 0.5F * static_cast<float>(step);
            making_.line({placed.x - half, y},
                         {placed.x + half, y},
                         metrics::kLedgerLine,
                         What::ledger,
                         static_cast<int>(placed.event));
        };
        for (int step = 10; step <= placed.step; step += 2) {
            ledger(step);
        }
        for (int step = -2; step >= placed.step; step -= 2) {
            ledger(step);
        }
    }

    void dots(const PlacedEvent& placed, int step, float half) {
        const float size = size_of(event(placed));
        const int in_space = step % 2 == 0 ? step + 1 : step;
        for (int i = 0; i < event(placed).value.dots; ++i) {
            making_.sign(Sign::dot,
                         {placed.x + half + size * (0.45F + 0.6F * static_cast<float>(i)),
                          0.5F * static_cast<float>(in_space)},
                         What::dot,
                         static_cast<int>(placed.event),
                         size);
        }
    }

    void tremolo(const PlacedEvent& placed) {
        const int strokes = std::min(event(placed).tremolo, 5);
        const bool stem = has_stem(placed);
        const float x = stem ? stem_x(placed) : placed.x;
        const float towards = placed.stem_up ? 1.0F : -1.0F;
        // In the free part of the stem; over or under a whole note.
        const int beams = context_.groups[placed.event] >= 0 ? beams_of(event(placed)) : 0;
        const float inner = stem ? placed.y() + 0.9F * towards : placed.y() + 1.3F * towards;
        const float outer =
            stem ? placed.stem_end - (0.5F + 0.75F * static_cast<float>(beams)) * towards : inner;
        const float middle = 0.5F * (inner + outer);
        for (int i = 0; i < strokes; ++i) {
            const float y =
                middle + 0.7F * (static_cast<float>(i) - 0.5F * static_cast<float>(strokes - 1));
            making_.line({x - 0.6F, y - 0.22F},
                         {x + 0.6F, y + 0.22F},
                         0.36F,
                         What::beam,
                         static_cast<int>(placed.event));
        }
    }

    Making& making_;
    const Context& context_;
};

} // namespace

void draw_notes(Making& making) {
    Notes(making).draw();
}

} // namespace bellhand::engraving
