// The cheapest sequence of stacks and slide places, exact, without comparing every stack with every other.
//
// The seconds of a change depend only on how many pieces leave, how many come and whether the slide moves. Between two
// sets of pieces that is a shortest path in the lattice of sets: take pieces out down to what both share, then put
// pieces in. So one sweep down and one sweep up over the lattice gives, for every set at once, the cheapest way to reach
// it from whatever was on the horn before (a distance transform). Slide places are columns swept side by side: a slide
// that stays keeps its column; one that moves may come from any, so one more column holds the cheapest of all. Rests
// that are too short for some changes are respected by sweeping in layers of exactly r pieces out and at most a pieces
// in.
#include "instrument/planner/candidates.h"

#include <algorithm>

namespace bellhand::instrument {

namespace {

using Costs = std::vector<Cost>;

class Sweeps {
public:
    Sweeps(const PieceLattice& lattice, const Weighing& weighing)
        : lattice_(lattice), weighing_(weighing) {}

    /// Turns the cost of every set before a change into that after one that takes the crook off, each column on its own;
    /// `more_tenths` are added to the time of each (the slide's).
    void change(Costs& cost, std::size_t width, const Rest& rest, std::int32_t more_tenths) {
        const Costs before = cost;
        const std::int32_t always = weighing_.crook_tenths + more_tenths;
        lattice_.sweep_down(cost, weighing_.second_tenth * weighing_.off_tenths, width);
        lattice_.sweep_up(cost, weighing_.second_tenth * weighing_.on_tenths, width);
        const int deepest = lattice_.deepest();
        const std::int32_t slowest =
            always + deepest * (weighing_.off_tenths + weighing_.on_tenths);
        const Cost price = weighing_.second_tenth * always;
        const bool comfortable = rest.usable_tenths_s >= slowest;
        const bool possible = rest.whole_tenths_s >= slowest;
        const Cost worst = comfortable ? 0 : possible ? weighing_.tight : weighing_.too_short;
        for (Cost& value : cost) {
            value += price + worst;
        }
        if (!possible) {
            take_in_time(
                before, width, rest.whole_tenths_s - always, price + weighing_.tight, cost);
        }
        if (!comfortable) {
            take_in_time(before, width, rest.usable_tenths_s - always, price, cost);
        }
    }

private:
    /// How many pieces may come in after `out` have left, within `budget` tenths; -1: not even those can leave.
    [[nodiscard]] int most_in(int out, std::int32_t budget) const {
        const std::int32_t left = budget - out * weighing_.off_tenths;
        if (left < 0) {
            return -1;
        }
        const int deepest = lattice_.deepest();
        return weighing_.on_tenths == 0 ? deepest : std::min(deepest, left / weighing_.on_tenths);
    }

    /// cost = min(cost, cheapest change of pieces within `budget` + price).
    void take_in_time(
        const Costs& before, std::size_t width, std::int32_t budget, Cost price, Costs& cost) {
        if (budget < 0) {
            return;
        }
        // Layers: those r pieces down that leave time for exactly so many pieces in, cheapest per set.
        const int deepest = lattice_.deepest();
        std::vector<Costs> by_room(static_cast<std::size_t>(deepest) + 1);
        out_ = before;
        next_.resize(before.size());
        for (int r = 0; r <= deepest; ++r) {
            const int room = most_in(r, budget);
            if (room < 0) {
                break;
            }
            if (r > 0) {
                lattice_.step_down(out_, next_, width);
                out_.swap(next_);
            }
            const Cost off = weighing_.second_tenth * weighing_.off_tenths * r;
            Costs& layer = by_room[static_cast<std::size_t>(room)];
            layer.resize(before.size(), kNoPlan);
            for (std::size_t i = 0; i < layer.size(); ++i) {
                layer[i] = std::min(layer[i], out_[i] + off);
            }
        }
        in_time_.assign(before.size(), kNoPlan);
        for (int room = deepest; room >= 0; --room) {
            const Costs& layer = by_room[static_cast<std::size_t>(room)];
            for (std::size_t i = 0; i < layer.size(); ++i) {
                in_time_[i] = std::min(in_time_[i], layer[i]);
            }
            if (room > 0) {
                lattice_.step_up(in_time_, weighing_.second_tenth * weighing_.on_tenths, width);
            }
        }
        for (std::size_t i = 0; i < cost.size(); ++i) {
            cost[i] = std::min(cost[i], in_time_[i] + price);
        }
    }

    const PieceLattice& lattice_;
    const Weighing& weighing_;
    Costs out_;
    Costs next_;
    Costs in_time_;
};

/// Costs of one step: for each candidate, its slide places one after the other.
struct StepCosts {
    std::size_t target = 0;
    std::vector<std::size_t> begin; ///< of each candidate's places, and the end
    Costs cost;

    [[nodiscard]] Cost at(std::size_t candidate, const Candidate& of, int place) const {
        return place < of.first_place || place > of.last_place
                   ? kNoPlan
                   : cost[begin[candidate] + static_cast<std::size_t>(place - of.first_place)];
    }
    /// Whatever the slide's place.
    [[nodiscard]] Cost cheapest(std::size_t candidate) const {
        return *std::min_element(cost.begin() + static_cast<std::ptrdiff_t>(begin[candidate]),
                                 cost.begin() + static_cast<std::ptrdiff_t>(begin[candidate + 1]));
    }
};

/// All steps that are built, with what is known of each.
class Steps {
public:
    Steps(const Candidates& candidates, const Weighing& weighing)
        : candidates_(candidates), weighing_(weighing) {}

    /// An empty step after the last one.
    StepCosts& add(std::size_t step) {
        StepCosts& added = steps_.emplace_back();
        numbers_.push_back(step);
        added.target = static_cast<std::size_t>(candidates_.target_of_step[step]);
        added.begin.push_back(0);
        for (const Candidate& candidate : list(added)) {
            added.begin.push_back(added.begin.back() +
                                  static_cast<std::size_t>(candidate.places()));
        }
        added.cost.assign(added.begin.back(), kNoPlan);
        return added;
    }

    [[nodiscard]] const std::vector<Candidate>& list(const StepCosts& step) const {
        return candidates_.of_target[step.target];
    }

    [[nodiscard]] StepCosts& back() { return steps_.back(); }
    [[nodiscard]] bool empty() const { return steps_.empty(); }

    [[nodiscard]] Cost of_stack(const StepCosts& step, std::size_t candidate, int place) const {
        const Candidate& of = list(step)[candidate];
        return weighing_.of_stack(of, candidates_.left_tenths(step.target, of, place));
    }

    /// Adds what every stack costs by itself.
    void add_stacks(StepCosts& step) const {
        const auto& stacks = list(step);
        for (std::size_t i = 0; i < stacks.size(); ++i) {
            for (int place = stacks[i].first_place; place <= stacks[i].last_place; ++place) {
                step.cost[step.begin[i] +
                          static_cast<std::size_t>(place - stacks[i].first_place)] +=
                    of_stack(step, i, place);
            }
        }
    }

    /// The first step, coming from what is on the horn.
    void first(const std::optional<Start>& from, StepCosts& step, const Rest& rest) const {
        const auto& stacks = list(step);
        for (std::size_t i = 0; i < stacks.size(); ++i) {
            for (int place = stacks[i].first_place; place <= stacks[i].last_place; ++place) {
                const Cost time =
                    from
                        ? weighing_.of_time(weighing_.taken_tenths(
                                                from->stack, stacks[i].stack, place != from->place),
                                            rest)
                        : 0;
                step.cost[step.begin[i] + static_cast<std::size_t>(place - stacks[i].first_place)] =
                    time;
            }
        }
        add_stacks(step);
    }

    /// Follows the costs back from the cheapest end.
    [[nodiscard]] Choice walk_back() const {
        Choice choice;
        choice.of_step.assign(candidates_.target_of_step.size(), -1);
        choice.slide_of_step = choice.of_step;
        State at = cheapest_end();
        choice.cost = steps_.back().cost[index(steps_.back(), at)];
        for (std::size_t i = steps_.size(); i-- > 0;) {
            choice.of_step[numbers_[i]] = static_cast<int>(at.candidate);
            choice.slide_of_step[numbers_[i]] = at.place;
            if (i > 0) {
                at = before(i, at);
            }
        }
        return choice;
    }

private:
    struct State {
        std::size_t candidate = 0;
        int place = 0;
    };

    [[nodiscard]] std::size_t index(const StepCosts& step, const State& at) const {
        return step.begin[at.candidate] +
               static_cast<std::size_t>(at.place - list(step)[at.candidate].first_place);
    }

    template <typename Found>
    [[nodiscard]] State first_state(const StepCosts& step, Found found) const {
        const auto& stacks = list(step);
        State at;
        for (at.candidate = 0; at.candidate < stacks.size(); ++at.candidate) {
            const Candidate& of = stacks[at.candidate];
            for (at.place = of.first_place; at.place <= of.last_place; ++at.place) {
                if (found(at, of)) {
                    return at;
                }
            }
        }
        return {};
    }

    [[nodiscard]] State cheapest_end() const {
        const StepCosts& end = steps_.back();
        const Cost least = *std::min_element(end.cost.begin(), end.cost.end());
        return first_state(end, [&](const State& at, const Candidate&) {
            return end.cost[index(end, at)] == least;
        });
    }

    [[nodiscard]] State before(std::size_t i, const State& to) const {
        const StepCosts& now = steps_[i];
        const StepCosts& earlier = steps_[i - 1];
        const Stack& stack = list(now)[to.candidate].stack;
        const Cost wanted = now.cost[index(now, to)] - of_stack(now, to.candidate, to.place);
        return first_state(earlier, [&](const State& at, const Candidate& of) {
            const std::int32_t taken =
                weighing_.taken_tenths(of.stack, stack, at.place != to.place);
            return earlier.cost[index(earlier, at)] +
                       weighing_.of_time(taken, candidates_.rest[numbers_[i]]) ==
                   wanted;
        });
    }

    const Candidates& candidates_;
    const Weighing& weighing_;
    std::vector<StepCosts> steps_;
    std::vector<std::size_t> numbers_;
};

/// Carries costs over to the stacks that stay on the horn, slide where it is or moved. Both lists are sorted by
/// `stack_before`.
void keep_stacks(const std::vector<Candidate>& stacks_before,
                 const StepCosts& before,
                 const std::vector<Candidate>& stacks,
                 Cost slide_moves,
                 StepCosts& now) {
    std::size_t i = 0;
    for (std::size_t k = 0; k < stacks.size(); ++k) {
        while (i < stacks_before.size() && stack_before(stacks_before[i], stacks[k])) {
            ++i;
        }
        if (i == stacks_before.size() || stacks_before[i].stack != stacks[k].stack) {
            continue;
        }
        const Cost moved = before.cheapest(i) + slide_moves;
        for (int place = stacks[k].first_place; place <= stacks[k].last_place; ++place) {
            Cost& cost =
                now.cost[now.begin[k] + static_cast<std::size_t>(place - stacks[k].first_place)];
            cost = std::min({cost, moved, before.at(i, stacks_before[i], place)});
        }
    }
}

/// Through the numbers that can be built: `follow` fills the costs of one from those of the one before it.
template <typename Follow>
Choice step_by_step(const Candidates& candidates,
                    const Weighing& weighing,
                    const std::optional<Start>& from,
                    const Follow& follow) {
    Steps steps(candidates, weighing);
    for (std::size_t step = 0; step < candidates.target_of_step.size(); ++step) {
        if (candidates.target_of_step[step] < 0) {
            continue;
        }
        const Rest& rest = candidates.rest[step];
        if (steps.empty()) {
            steps.first(from, steps.add(step), rest);
            continue;
        }
        const StepCosts before = steps.back();
        StepCosts& now = steps.add(step);
        follow(before, rest, now);
        steps.add_stacks(now);
    }
    return steps.walk_back();
}

} // namespace

std::optional<CheapestSearch> CheapestSearch::over(const Twins& twins,
                                                   const Candidates& candidates) {
    std::vector<PieceSet> seeds;
    for (const auto& list : candidates.of_target) {
        for (const Candidate& candidate : list) {
            seeds.push_back(candidate.stack.between);
        }
    }
    CheapestSearch search;
    if (!search.lattice_.build(twins, seeds)) {
        return std::nullopt;
    }
    for (const auto& list : candidates.of_target) {
        auto& sets = search.sets_.emplace_back();
        sets.reserve(list.size());
        for (const Candidate& candidate : list) {
            sets.push_back(search.lattice_.index_of(candidate.stack.between));
        }
    }
    return search;
}

double CheapestSearch::work(const Candidates& candidates, const Weighing& weighing) const {
    const int deepest = lattice_.deepest();
    const std::int32_t slowest = weighing.crook_tenths + weighing.slide_tenths +
                                 deepest * (weighing.off_tenths + weighing.on_tenths);
    double sweeps = 0.0;
    for (const Rest& rest : candidates.rest) {
        sweeps += 2.0 + (rest.usable_tenths_s < slowest ? 2.0 * deepest : 0.0) +
                  (rest.whole_tenths_s < slowest ? 2.0 * deepest : 0.0);
    }
    return static_cast<double>(lattice_.edges() + lattice_.size()) *
           (candidates.places.count() + 1) * sweeps;
}

Choice CheapestSearch::cheapest(const Candidates& candidates,
                                const Weighing& weighing,
                                const std::optional<Start>& from) const {
    Sweeps sweeps(lattice_, weighing);
    const auto width = static_cast<std::size_t>(candidates.places.count());
    Costs stays(lattice_.size() * width);
    Costs moves(lattice_.size());
    const auto follow = [&](const StepCosts& before, const Rest& rest, StepCosts& now) {
        const auto& stacks_before = candidates.of_target[before.target];
        std::fill(stays.begin(), stays.end(), kNoPlan);
        std::fill(moves.begin(), moves.end(), kNoPlan);
        for (std::size_t i = 0; i < stacks_before.size(); ++i) {
            const std::size_t set = sets_[before.target][i];
            for (int p = stacks_before[i].first_place; p <= stacks_before[i].last_place; ++p) {
                Cost& cost = stays[set * width + static_cast<std::size_t>(p)];
                cost = std::min(cost, before.at(i, stacks_before[i], p));
            }
            moves[set] = std::min(moves[set], before.cheapest(i));
        }
        sweeps.change(stays, width, rest, 0);
        sweeps.change(moves, 1, rest, weighing.slide_tenths);
        const auto& stacks = candidates.of_target[now.target];
        for (std::size_t i = 0; i < stacks.size(); ++i) {
            const std::size_t set = sets_[now.target][i];
            for (int p = stacks[i].first_place; p <= stacks[i].last_place; ++p) {
                now.cost[now.begin[i] + static_cast<std::size_t>(p - stacks[i].first_place)] =
                    std::min(stays[set * width + static_cast<std::size_t>(p)], moves[set]);
            }
        }
        keep_stacks(
            stacks_before, before, stacks, weighing.of_time(weighing.slide_tenths, rest), now);
    };
    return step_by_step(candidates, weighing, from, follow);
}

Choice cheapest_choice_directly(const Candidates& candidates,
                                const Weighing& weighing,
                                const std::optional<Start>& from) {
    const auto follow = [&](const StepCosts& before, const Rest& rest, StepCosts& now) {
        const auto& stacks_before = candidates.of_target[before.target];
        const auto& stacks = candidates.of_target[now.target];
        for (std::size_t i = 0; i < stacks_before.size(); ++i) {
            const Cost cheapest = before.cheapest(i);
            for (std::size_t k = 0; k < stacks.size(); ++k) {
                const Candidate& to = stacks[k];
                const Stack& was = stacks_before[i].stack;
                const Cost stays =
                    weighing.of_time(weighing.taken_tenths(was, to.stack, false), rest);
                const Cost moves =
                    cheapest + weighing.of_time(weighing.taken_tenths(was, to.stack, true), rest);
                for (int p = to.first_place; p <= to.last_place; ++p) {
                    Cost& cost =
                        now.cost[now.begin[k] + static_cast<std::size_t>(p - to.first_place)];
                    cost = std::min({cost, moves, before.at(i, stacks_before[i], p) + stays});
                }
            }
        }
    };
    return step_by_step(candidates, weighing, from, follow);
}

} // namespace bellhand::instrument
