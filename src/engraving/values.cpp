#include "engraving/values.h"

#include <algorithm>

namespace bellhand::engraving {

namespace {

constexpr int kShortest = 6; // sixty-fourths

bool compound(const Metre& metre) noexcept {
    return metre.beat_type >= 8 && metre.beats % 3 == 0;
}

/// Plain, dotted or doubly dotted.
std::optional<Value> straight_value(int ticks) noexcept {
    for (int halvings = 0; halvings <= kShortest; ++halvings) {
        for (int dots = 0; dots <= 2; ++dots) {
            const Value value{halvings, dots, 1, 1};
            if (ticks_of(value) == ticks) {
                return value;
            }
        }
    }
    return std::nullopt;
}

/// The heaviest place strictly inside: the first of them, or the last where the beginning weighs as much.
struct Cut {
    int tick = -1;
    int weight = -100;
};

Cut heaviest_inside(int tick, int ticks, const Metre& metre) {
    constexpr int kGrid = kQuarter / 16;
    const int begins = weight_of(tick, metre);
    Cut cut;
    for (int at = (tick / kGrid + 1) * kGrid; at < tick + ticks; at += kGrid) {
        const int weight = weight_of(at, metre);
        if (weight > cut.weight || (weight == cut.weight && weight <= begins)) {
            cut = {at, weight};
        }
    }
    return cut;
}

bool note_may_stand(int tick, int ticks, const Value& value, const Metre& metre) {
    const Cut cut = heaviest_inside(tick, ticks, metre);
    if (cut.tick < 0 || value.actual != 1) {
        return true;
    }
    const int from = weight_of(tick, metre);
    const int to = weight_of(tick + ticks, metre);
    // A syncopation lies evenly on both sides of what it hides, and is no dotted one.
    const bool even = !compound(metre) && value.dots == 0 && 2 * (cut.tick - tick) == ticks &&
                      from == to && from >= cut.weight - 1;
    const bool leads_on = cut.weight <= to && from >= cut.weight - 1 && value.dots < 2;
    return even || leads_on || cut.weight <= from;
}

bool rest_may_stand(int tick, int ticks, const Value& value, const Metre& metre) {
    const Cut cut = heaviest_inside(tick, ticks, metre);
    const bool dotted_beat = compound(metre) && tick % beat_ticks(metre) == 0;
    return (value.dots == 0 || dotted_beat || ticks <= kQuarter) &&
           (cut.tick < 0 || value.actual != 1 || cut.weight < weight_of(tick, metre));
}

template <typename MayStand>
void cut_into(
    int tick, int ticks, const Metre& metre, const MayStand& may_stand, std::vector<Piece>& out) {
    const auto value = value_of(ticks);
    if (value && may_stand(tick, ticks, *value, metre)) {
        out.push_back({tick, *value});
        return;
    }
    const Cut cut = heaviest_inside(tick, ticks, metre);
    if (cut.tick < 0) { // no value and no place to cut: the next shorter value
        Value shorter{kShortest, 0, 1, 1};
        while (shorter.halvings > 0 && 2 * ticks_of(shorter) <= ticks) {
            --shorter.halvings;
        }
        out.push_back({tick, value.value_or(shorter)});
        return;
    }
    cut_into(tick, cut.tick - tick, metre, may_stand, out);
    cut_into(cut.tick, tick + ticks - cut.tick, metre, may_stand, out);
}

/// How far one beam may reach from `tick`: a beat, and where all of them are eighths what custom allows, half a bar of
/// four beats, a whole bar of two or three.
int beam_end(int tick, bool only_eighths, const Metre& metre) {
    const int beat = beat_ticks(metre);
    int reach = metre.beat_type == 2 && !only_eighths ? kQuarter : beat;
    if (only_eighths && metre.beat_type == 4) {
        reach = metre.beats == 4 ? 2 * beat : metre.beats <= 3 ? metre.beats * beat : beat;
    }
    return (tick / reach + 1) * reach;
}

class Beaming {
public:
    Beaming(const Score& score, const std::vector<Metre>& metre_of)
        : score_(score), metre_of_(metre_of), group_(score.events.size(), -1) {}

    std::vector<int> groups() {
        for (std::size_t i = 0; i < score_.events.size();) {
            const std::size_t end = run_from(i);
            if (end > i + 1) {
                for (std::size_t k = i; k < end; ++k) {
                    if (score_.events[k].grace == score_.events[i].grace) {
                        group_[k] = next_;
                    }
                }
                ++next_;
            }
            i = std::max(end, i + 1);
        }
        return std::move(group_);
    }

private:
    [[nodiscard]] bool can_join(const Event& event) const {
        return event.head && event.value.halvings >= 3 && event.beam != Beam::none;
    }

    /// Past the last event under one beam with `first`; `first` itself when it has none.
    [[nodiscard]] std::size_t run_from(std::size_t first) const {
        const Event& begin = score_.events[first];
        if (!can_join(begin)) {
            return first;
        }
        if (begin.beam == Beam::begins) {
            std::size_t end = first + 1;
            while (end < score_.events.size() && joins(score_.events[end], begin)) {
                if (score_.events[end++].beam == Beam::ends) {
                    return end;
                }
            }
        }
        return by_metre(first);
    }

    [[nodiscard]] bool joins(const Event& event, const Event& begin) const {
        return event.bar == begin.bar && event.grace == begin.grace && can_join(event);
    }

    [[nodiscard]] std::size_t by_metre(std::size_t first) const {
        const Event& begin = score_.events[first];
        if (begin.grace) {
            return while_joined(first, [](const Event&) { return true; });
        }
        const Metre& metre = metre_of_[static_cast<std::size_t>(begin.bar)];
        const int lead = lead_of(begin.bar, metre);
        const int far = beam_end(begin.tick + lead, true, metre) - lead;
        const std::size_t eighths = while_joined(first, [&](const Event& event) {
            return event.tick < far && event.value.halvings == 3 && event.value.actual == 1;
        });
        const bool stopped = eighths < score_.events.size() &&
                             joins(score_.events[eighths], begin) &&
                             score_.events[eighths].tick < far;
        if (!stopped) {
            return eighths;
        }
        const int near = beam_end(begin.tick + lead, false, metre) - lead;
        return while_joined(first, [&](const Event& event) { return event.tick < near; });
    }

    /// Where a pick-up begins in its metre.
    [[nodiscard]] int lead_of(int bar, const Metre& metre) const {
        const int missing = metre.bar_ticks() - score_.bars[static_cast<std::size_t>(bar)].ticks;
        return bar == 0 ? std::max(0, missing) : 0;
    }

    template <typename Condition>
    std::size_t while_joined(std::size_t first, const Condition& condition) const {
        std::size_t end = first;
        const Event& begin = score_.events[first];
        while (end < score_.events.size() && joins(score_.events[end], begin) &&
               condition(score_.events[end]) &&
               (end == first || score_.events[end].beam != Beam::begins)) {
            ++end;
        }
        return end;
    }

    const Score& score_;
    const std::vector<Metre>& metre_of_;
    std::vector<int> group_;
    int next_ = 0;
};

} // namespace

int ticks_of(const Value& value) noexcept {
    int ticks = 4 * kQuarter;
    ticks = value.halvings < 0 ? ticks << -value.halvings : ticks >> value.halvings;
    const int longest = ticks;
    for (int i = 1; i <= value.dots; ++i) {
        ticks += longest >> i;
    }
    return ticks * value.normal / std::max(1, value.actual);
}

std::optional<Value> value_of(int ticks) noexcept {
    if (const auto value = straight_value(ticks)) {
        return value;
    }
    struct Kind {
        int actual;
        int normal;
    };
    for (const Kind kind : {Kind{3, 2}, Kind{5, 4}, Kind{7, 4}}) {
        if (ticks * kind.actual % kind.normal != 0) {
            continue;
        }
        if (auto value = straight_value(ticks * kind.actual / kind.normal);
            value && value->dots < 2) {
            value->actual = kind.actual;
            value->normal = kind.normal;
            return value;
        }
    }
    return std::nullopt;
}

int beat_ticks(const Metre& metre) noexcept {
    const int unit = 4 * kQuarter / metre.beat_type;
    return compound(metre) ? 3 * unit : unit;
}

int weight_of(int tick, const Metre& metre) noexcept {
    const int bar = std::max(1, metre.bar_ticks());
    const int in_bar = tick % bar;
    if (in_bar == 0) {
        return 4;
    }
    const int beat = beat_ticks(metre);
    const int beats = bar / beat;
    if (beats % 2 == 0 && beats > 2 && in_bar == bar / 2) {
        return 3;
    }
    if (in_bar % beat == 0) {
        return 2;
    }
    int part = compound(metre) ? beat / 3 : beat / 2;
    for (int weight = 1; part > 0; --weight, part /= 2) {
        if (in_bar % part == 0) {
            return weight;
        }
        if (part % 2 != 0) {
            break;
        }
    }
    return -9;
}

std::vector<Piece> note_pieces(int tick, int ticks, const Metre& metre) {
    std::vector<Piece> pieces;
    if (ticks > 0) {
        cut_into(tick, ticks, metre, note_may_stand, pieces);
    }
    return pieces;
}

std::vector<Piece> rest_pieces(int tick, int ticks, const Metre& metre) {
    std::vector<Piece> pieces;
    if (ticks > 0) {
        cut_into(tick, ticks, metre, rest_may_stand, pieces);
    }
    return pieces;
}

std::vector<int> beam_groups(const Score& score, const std::vector<Metre>& metre_of) {
    return Beaming(score, metre_of).groups();
}

std::vector<Tuplet> tuplets_of(const Score& score) {
    std::vector<Tuplet> tuplets;
    for (std::size_t i = 0; i < score.events.size(); ++i) {
        const Event& first = score.events[i];
        const int actual = first.value.actual;
        if (actual == 1 || first.grace) {
            continue;
        }
        const int closes = actual == 3 ? kQuarter / 2 : kQuarter;
        std::size_t end = i;
        int done = 0;
        for (std::size_t k = i; k < score.events.size(); ++k) {
            const Event& event = score.events[k];
            if (event.grace) {
                continue;
            }
            if (event.bar != first.bar || event.value.actual != actual) {
                break;
            }
            end = k;
            done += event.ticks;
            if (done % closes == 0) {
                break;
            }
        }
        if (end > i) {
            tuplets.push_back({i, end, actual});
        }
        i = end;
    }
    return tuplets;
}

std::vector<Metre> metres_of(const Score& score) {
    std::vector<Metre> metres;
    Metre now;
    for (const Bar& bar : score.bars) {
        now = bar.metre.value_or(now);
        metres.push_back(now);
    }
    return metres;
}

} // namespace bellhand::engraving
