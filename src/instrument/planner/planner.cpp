#include "instrument/planner/planner.h"

#include "instrument/planner/candidates.h"

#include <algorithm>
#include <cmath>

namespace bellhand::instrument {

namespace {

Target target_of(const Number& number, const SetList& list, const AirInHorn& air) {
    Target target{number.key, number.a4_hz.value_or(list.a4_hz), air};
    if (const auto temperature_c =
            number.temperature_c ? number.temperature_c : list.temperature_c) {
        target.air.temperature_c = *temperature_c;
    }
    return target;
}

/// All different targets together; beyond it a plan would take gigabytes.
constexpr std::size_t kMostCandidates = 2'000'000;

std::vector<Candidate> stacks_in_tune(const HornLengths& horn,
                                      const Twins& twins,
                                      double target_m,
                                      const PlanRequest& request) {
    std::vector<Candidate> list;
    each_stack_in_tune(
        horn,
        twins,
        target_m,
        request.tolerance_cents,
        request.most_between,
        [&](const Stack& stack, double pushed_in_m) {
            const SlideSetting slide = set_slide(horn, pushed_in_m, target_m);
            list.push_back(
                {stack,
                 static_cast<std::int32_t>(std::lround(1000.0 * reach_of_m(horn, stack))),
                 static_cast<std::int32_t>(std::lround(10.0 * std::fabs(slide.left_cents)))});
            return list.size() <= kMostCandidates;
        });
    if (list.size() <= kMostCandidates) {
        std::sort(list.begin(), list.end(), stack_before);
    }
    return list;
}

struct Gathered {
    Candidates candidates;
    std::vector<Target> target_of_step;
    std::vector<double> length_of_step_m;
    std::size_t found = 0; ///< candidates so far
};

Gathered gather(const HornLengths& horn,
                const Twins& twins,
                const SetList& list,
                const AirInHorn& air,
                const PlanRequest& request) {
    Gathered gathered;
    std::vector<double> lengths_m; // of the different targets
    for (const Number& number : list.numbers) {
        const Target target = target_of(number, list, air);
        const double length_m = target_length_m(target);
        gathered.target_of_step.push_back(target);
        gathered.length_of_step_m.push_back(length_m);
        const auto known = std::find(lengths_m.begin(), lengths_m.end(), length_m);
        auto place = static_cast<std::size_t>(known - lengths_m.begin());
        if (known == lengths_m.end()) {
            lengths_m.push_back(length_m);
            gathered.candidates.of_target.push_back(stacks_in_tune(horn, twins, length_m, request));
        }
        const bool buildable = !gathered.candidates.of_target[place].empty();
        gathered.candidates.target_of_step.push_back(buildable ? static_cast<int>(place) : -1);
        gathered.candidates.rest_tenths_s.push_back(
            number.rest_before_s
                ? static_cast<std::int32_t>(std::floor(10.0 * *number.rest_before_s + 1e-6))
                : kLongRest);
    }
    return gathered;
}

PlanStep left_out(const HornLengths& horn,
                  const Number& number,
                  const Target& target,
                  const PlanRequest& request,
                  const std::optional<Stack>& before) {
    PlanStep step;
    step.number = number;
    step.buildable = false;
    const BuildAnswer nearest =
        ways_to_build(horn, {target, request.tolerance_cents, request.most_between, before, 1});
    if (!nearest.ways.empty()) {
        step.way = nearest.ways.front();
        step.way.change = {}; // the horn keeps its stack
    }
    return step;
}

void fill_plan(const HornLengths& horn,
               const SetList& list,
               const Gathered& gathered,
               const PlanRequest& request,
               const std::vector<int>& choice,
               Plan& plan) {
    std::optional<Stack> before = request.from;
    PieceSet between = 0;
    std::vector<bool> crooks(horn.crooks.size(), false);
    for (std::size_t i = 0; i < list.numbers.size(); ++i) {
        const int target = gathered.candidates.target_of_step[i];
        if (target < 0) {
            plan.steps.push_back(
                left_out(horn, list.numbers[i], gathered.target_of_step[i], request, before));
            continue;
        }
        const Stack stack =
            gathered.candidates
                .of_target[static_cast<std::size_t>(target)][static_cast<std::size_t>(choice[i])]
                .stack;
        PlanStep step;
        step.number = list.numbers[i];
        step.way.stack = stack;
        step.way.slide = set_slide(horn, pushed_in_m(horn, stack), gathered.length_of_step_m[i]);
        step.way.joints = pieces_in(stack);
        step.way.reach_m = reach_of_m(horn, stack);
        if (before) {
            step.way.change = change_between(horn, *before, stack);
            const std::int32_t rest = gathered.candidates.rest_tenths_s[i];
            step.too_short = in_tenths(step.way.change.seconds) > rest;
        }
        plan.too_short += step.too_short ? 1 : 0;
        plan.change_s += step.way.change.seconds;
        plan.reach_sum_m += step.way.reach_m;
        plan.greatest_reach_m = std::max(plan.greatest_reach_m, step.way.reach_m);
        between |= stack.between;
        if (stack.crook >= 0) {
            crooks[static_cast<std::size_t>(stack.crook)] = true;
        }
        before = stack;
        plan.steps.push_back(std::move(step));
    }
    for (std::size_t i = 0; i < crooks.size(); ++i) {
        if (crooks[i]) {
            plan.packed.push_back(horn.crooks[i].name);
        }
    }
    for (std::size_t i = 0; i < horn.between.size(); ++i) {
        if (((between >> i) & 1U) != 0) {
            plan.packed.push_back(horn.between[i].name);
        }
    }
}

} // namespace

const char* choose_id(Choose choose) noexcept {
    switch (choose) {
    case Choose::fewest_pieces:
        return "fewest-pieces";
    case Choose::least_change:
        return "least-change";
    case Choose::least_reach:
        break;
    }
    return "least-reach";
}

Result<Choose> parse_choose(std::string_view text) {
    for (const Choose choose : {Choose::fewest_pieces, Choose::least_change, Choose::least_reach}) {
        if (text == choose_id(choose)) {
            return choose;
        }
    }
    return usage_error("There is no choice \"" + std::string(text.substr(0, 40)) +
                       "\": take fewest-pieces, least-change or least-reach.");
}

Result<Plan> plan_set_list(const HornLengths& horn,
                           const SetList& list,
                           const AirInHorn& air,
                           const PlanRequest& request) {
    if (list.numbers.empty() || list.numbers.size() > kMostNumbers) {
        return failure("A set list has 1 to " + std::to_string(kMostNumbers) + " numbers.");
    }
    if (!(request.tolerance_cents >= 0.0 && request.tolerance_cents <= 100.0)) {
        return usage_error("The tolerance must lie between 0 and 100 cents.");
    }
    if (const auto most = checked_most_between(horn, request.most_between); !most) {
        return tl::unexpected(most.error());
    }
    const Twins twins = find_twins(horn, request.from ? request.from->between : 0);
    const Gathered gathered = gather(horn, twins, list, air, request);
    Plan plan;
    plan.choose = request.choose;
    bool any = false;
    for (const auto& stacks : gathered.candidates.of_target) {
        plan.candidates += stacks.size();
        any = any || !stacks.empty();
    }
    if (plan.candidates > kMostCandidates) {
        return failure("So many stacks are in tune that they cannot all be compared: allow fewer "
                       "pieces between crook and body, or a smaller tolerance.");
    }
    const Weighing weighing(request.choose, horn.change_times);
    std::vector<int> choice(list.numbers.size(), -1);
    if (any && request.choose == Choose::fewest_pieces) {
        auto fewest = fewest_pieces_choice(twins, gathered.candidates, weighing, request.from);
        if (!fewest) {
            return tl::unexpected(fewest.error());
        }
        choice = std::move(fewest->choice.of_step);
        plan.all_compared = fewest->all_compared;
    } else if (any) {
        auto cheapest = cheapest_choice(twins, gathered.candidates, weighing, request.from);
        if (!cheapest) {
            return tl::unexpected(cheapest.error());
        }
        choice = std::move(cheapest->of_step);
    }
    fill_plan(horn, list, gathered, request, choice, plan);
    return plan;
}

} // namespace bellhand::instrument
