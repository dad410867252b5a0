// The cheapest sequence of stacks, exact, without comparing every stack with every other.
//
// The seconds of a change depend only on how many pieces leave and how many come. Between two sets of pieces that is a
// shortest path in the lattice of sets: take pieces out down to what both share, then put pieces in. So one sweep down
// and one sweep up over the lattice gives, for every set at once, the cheapest way to reach it from whatever was on the
// horn before (a distance transform). Rests that are too short for some changes are respected by sweeping in layers
// of exactly r pieces out and at most a pieces in.
#include "instrument/planner/candidates.h"
#include "instrument/planner/piece_lattice.h"

#include <algorithm>

namespace bellhand::instrument {

namespace {

class Sweeps {
public:
    Sweeps(const PieceLattice& lattice, const Weighing& weighing)
        : lattice_(lattice),
          weighing_(weighing),
          out_(lattice.size()),
          next_(lattice.size()),
          any_(lattice.size()),
          in_time_(lattice.size()) {}

    /// Cheapest cost of every set after a change from `before`, crook included.
    const std::vector<Cost>& after_change(const std::vector<Cost>& before, std::int32_t rest) {
        any_ = before;
        lattice_.sweep_down(any_, weighing_.second_tenth * weighing_.off_tenths);
        lattice_.sweep_up(any_, weighing_.second_tenth * weighing_.on_tenths);
        const Cost crook = weighing_.second_tenth * weighing_.crook_tenths;
        const int deepest = lattice_.deepest();
        const std::int32_t slowest =
            weighing_.crook_tenths + deepest * (weighing_.off_tenths + weighing_.on_tenths);
        if (rest >= slowest) {
            for (Cost& cost : any_) {
                cost += crook;
            }
            return any_;
        }
        const bool some_fit = sweep_in_time(before, rest - weighing_.crook_tenths);
        for (std::size_t i = 0; i < any_.size(); ++i) {
            any_[i] += crook + weighing_.too_short;
            if (some_fit) {
                any_[i] = std::min(any_[i], in_time_[i] + crook);
            }
        }
        return any_;
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

    bool sweep_in_time(const std::vector<Cost>& before, std::int32_t budget) {
        if (budget < 0) {
            return false;
        }
        // Layers: those r pieces down that leave time for exactly so many pieces in, cheapest per set.
        const int deepest = lattice_.deepest();
        std::vector<std::vector<Cost>> by_room(static_cast<std::size_t>(deepest) + 1);
        out_ = before;
        for (int r = 0; r <= deepest; ++r) {
            const int room = most_in(r, budget);
            if (room < 0) {
                break;
            }
            if (r > 0) {
                lattice_.step_down(out_, next_);
                out_.swap(next_);
            }
            const Cost price = weighing_.second_tenth * weighing_.off_tenths * r;
            auto& layer = by_room[static_cast<std::size_t>(room)];
            if (layer.empty()) {
                layer.assign(lattice_.size(), kNoPlan);
            }
            for (std::size_t i = 0; i < layer.size(); ++i) {
                layer[i] = std::min(layer[i], out_[i] + price);
            }
        }
        std::fill(in_time_.begin(), in_time_.end(), kNoPlan);
        for (int room = deepest; room >= 0; --room) {
            const auto& layer = by_room[static_cast<std::size_t>(room)];
            for (std::size_t i = 0; i < layer.size(); ++i) {
                in_time_[i] = std::min(in_time_[i], layer[i]);
            }
            if (room > 0) {
                lattice_.step_up(in_time_, weighing_.second_tenth * weighing_.on_tenths);
            }
        }
        return true;
    }

    const PieceLattice& lattice_;
    const Weighing& weighing_;
    std::vector<Cost> out_;
    std::vector<Cost> next_;
    std::vector<Cost> any_;
    std::vector<Cost> in_time_;
};

/// Carries costs over to the stacks that stay on the horn. Both lists are sorted by `stack_before`.
void keep_stacks(const std::vector<Candidate>& before,
                 const std::vector<Cost>& before_cost,
                 const std::vector<Candidate>& now,
                 std::vector<Cost>& now_cost) {
    std::size_t i = 0;
    for (std::size_t k = 0; k < now.size(); ++k) {
        while (i < before.size() && stack_before(before[i], now[k])) {
            ++i;
        }
        if (i < before.size() && before[i].stack == now[k].stack) {
            now_cost[k] = std::min(now_cost[k], before_cost[i]);
        }
    }
}

std::vector<int> walk_back(const Candidates& candidates,
                           const Weighing& weighing,
                           const std::vector<std::vector<Cost>>& costs,
                           int last_chosen) {
    std::vector<int> chosen(candidates.target_of_step.size(), -1);
    int later = -1; // the step after, among those that are built
    for (std::size_t step = chosen.size(); step-- > 0;) {
        const int target = candidates.target_of_step[step];
        if (target < 0) {
            continue;
        }
        if (later < 0) {
            chosen[step] = last_chosen;
        } else {
            const auto after = static_cast<std::size_t>(later);
            const Candidate& to =
                candidates.of_target[static_cast<std::size_t>(candidates.target_of_step[after])]
                                    [static_cast<std::size_t>(chosen[after])];
            const Cost wanted =
                costs[after][static_cast<std::size_t>(chosen[after])] - weighing.of_stack(to);
            const auto& list = candidates.of_target[static_cast<std::size_t>(target)];
            for (std::size_t i = 0; i < list.size(); ++i) {
                if (costs[step][i] + weighing.of_change(list[i].stack,
                                                        to.stack,
                                                        candidates.rest_tenths_s[after]) ==
                    wanted) {
                    chosen[step] = static_cast<int>(i);
                    break;
                }
            }
        }
        later = static_cast<int>(step);
    }
    return chosen;
}

/// Costs of the first built step.
std::vector<Cost> first_costs(const std::vector<Candidate>& list,
                              const Weighing& weighing,
                              const std::optional<Stack>& from,
                              std::int32_t rest) {
    std::vector<Cost> costs;
    costs.reserve(list.size());
    for (const Candidate& candidate : list) {
        costs.push_back(weighing.of_stack(candidate) +
                        (from ? weighing.of_change(*from, candidate.stack, rest) : 0));
    }
    return costs;
}

} // namespace

bool stack_before(const Candidate& a, const Candidate& b) noexcept {
    return a.stack.between != b.stack.between ? a.stack.between < b.stack.between
                                              : a.stack.crook < b.stack.crook;
}

Weighing::Weighing(Choose choose, const ChangeTimes& times) {
    crook_tenths = in_tenths(times.crook_s);
    off_tenths = in_tenths(times.piece_off_s);
    on_tenths = in_tenths(times.piece_on_s);
    // Room of each field for 64 steps: cents 2^16 tenths, joints 2^12, seconds 2^22 tenths, reach 2^21 mm.
    if (choose == Choose::least_reach) {
        second_tenth = 1;
        stack_reach_mm_ = Cost{1} << 22;
        too_short = Cost{1} << 43;
    } else {
        stack_left_ = 1;
        stack_joint_ = Cost{1} << 16;
        second_tenth = Cost{1} << 28;
        too_short = Cost{1} << 50;
    }
}

Result<Choice> cheapest_choice(const Twins& twins,
                               const Candidates& candidates,
                               const Weighing& weighing,
                               const std::optional<Stack>& from) {
    std::vector<PieceSet> seeds;
    for (const auto& list : candidates.of_target) {
        for (const Candidate& candidate : list) {
            seeds.push_back(candidate.stack.between);
        }
    }
    PieceLattice lattice;
    if (!lattice.build(twins, seeds)) {
        return failure("So many pieces in such long stacks are more than can be searched without "
                       "leaving anything out: allow fewer pieces between crook and body.");
    }
    std::vector<std::vector<std::size_t>> places; // of each candidate's set in the lattice
    for (const auto& list : candidates.of_target) {
        auto& place = places.emplace_back();
        place.reserve(list.size());
        for (const Candidate& candidate : list) {
            place.push_back(lattice.index_of(candidate.stack.between));
        }
    }
    Sweeps sweeps(lattice, weighing);
    std::vector<Cost> before(lattice.size());
    std::vector<std::vector<Cost>> costs(candidates.target_of_step.size());
    int last = -1;
    for (std::size_t step = 0; step < costs.size(); ++step) {
        if (candidates.target_of_step[step] < 0) {
            continue;
        }
        const auto target = static_cast<std::size_t>(candidates.target_of_step[step]);
        const auto& list = candidates.of_target[target];
        if (last < 0) {
            costs[step] = first_costs(list, weighing, from, candidates.rest_tenths_s[step]);
            last = static_cast<int>(step);
            continue;
        }
        const auto last_step = static_cast<std::size_t>(last);
        const auto last_target = static_cast<std::size_t>(candidates.target_of_step[last_step]);
        std::fill(before.begin(), before.end(), kNoPlan);
        for (std::size_t i = 0; i < costs[last_step].size(); ++i) {
            Cost& cost = before[places[last_target][i]];
            cost = std::min(cost, costs[last_step][i]);
        }
        const auto& after = sweeps.after_change(before, candidates.rest_tenths_s[step]);
        costs[step].reserve(list.size());
        for (const std::size_t place : places[target]) {
            costs[step].push_back(after[place]);
        }
        keep_stacks(candidates.of_target[last_target], costs[last_step], list, costs[step]);
        for (std::size_t i = 0; i < list.size(); ++i) {
            costs[step][i] += weighing.of_stack(list[i]);
        }
        last = static_cast<int>(step);
    }
    const auto& end = costs[static_cast<std::size_t>(last)];
    const auto best = std::min_element(end.begin(), end.end());
    return Choice{walk_back(candidates, weighing, costs, static_cast<int>(best - end.begin())),
                  *best};
}

Choice cheapest_choice_directly(const Candidates& candidates,
                                const Weighing& weighing,
                                const std::optional<Stack>& from) {
    std::vector<std::vector<Cost>> costs(candidates.target_of_step.size());
    int last = -1;
    for (std::size_t step = 0; step < costs.size(); ++step) {
        if (candidates.target_of_step[step] < 0) {
            continue;
        }
        const auto& list =
            candidates.of_target[static_cast<std::size_t>(candidates.target_of_step[step])];
        const std::int32_t rest = candidates.rest_tenths_s[step];
        if (last < 0) {
            costs[step] = first_costs(list, weighing, from, rest);
        } else {
            const auto last_step = static_cast<std::size_t>(last);
            const auto& before =
                candidates
                    .of_target[static_cast<std::size_t>(candidates.target_of_step[last_step])];
            for (const Candidate& to : list) {
                Cost best = kNoPlan;
                for (std::size_t i = 0; i < before.size(); ++i) {
                    best = std::min(best,
                                    costs[last_step][i] +
                                        weighing.of_change(before[i].stack, to.stack, rest));
                }
                costs[step].push_back(best + weighing.of_stack(to));
            }
        }
        last = static_cast<int>(step);
    }
    const auto& end = costs[static_cast<std::size_t>(last)];
    const auto best = std::min_element(end.begin(), end.end());
    return Choice{walk_back(candidates, weighing, costs, static_cast<int>(best - end.begin())),
                  *best};
}

} // namespace bellhand::instrument
