#include "instrument/planner/planner.h"

#include "instrument/lengths.h"
#include "instrument/planner/candidates.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace bellhand::instrument {

namespace {

/// Comparisons that one plan may take, about three seconds of a processor of today.
constexpr double kMostWork = 2.5e9;
/// Sets of slide places that are tried at most.
constexpr std::size_t kMostSets = 2'600; // all up to four of 16 places

PlanStep left_out(const HornLengths& horn,
                  const Number& number,
                  const Target& target,
                  const PlanRequest& request,
                  const Bounds& bounds,
                  const std::optional<Stack>& before) {
    PlanStep step;
    step.number = number;
    step.target = target;
    step.buildable = false;
    const BuildAnswer nearest =
        ways_to_build(horn, {target, request.tolerance_cents, bounds.most_between, before, 1});
    if (!nearest.ways.empty()) {
        step.way = nearest.ways.front();
        step.way.change = {}; // the horn keeps its stack
    }
    return step;
}

PlanStep built(const HornLengths& horn,
               const Candidates& candidates,
               std::size_t step,
               const Choice& choice,
               const std::optional<Start>& before) {
    const auto target = static_cast<std::size_t>(candidates.target_of_step[step]);
    const Candidate& candidate =
        candidates.of_target[target][static_cast<std::size_t>(choice.of_step[step])];
    const int place = choice.slide_of_step[step];
    PlanStep out;
    out.way.stack = candidate.stack;
    out.way.slide = slide_at(horn,
                             candidate.pushed_in_m,
                             candidates.target_m[target],
                             candidates.places.pull_m[static_cast<std::size_t>(place)]);
    out.way.joints = pieces_in(candidate.stack);
    out.way.reach_m = reach_of_m(horn, candidate.stack);
    if (before) {
        out.way.change =
            change_between(horn, before->stack, candidate.stack, place != before->place);
        const int taken = in_tenths(out.way.change.seconds);
        const Rest& rest = candidates.rest[step];
        out.too_short = taken > rest.whole_tenths_s;
        out.tight = !out.too_short && taken > 0 && taken > rest.usable_tenths_s;
    }
    return out;
}

void add_up(const PlanStep& step, Plan& plan) {
    plan.too_short += step.too_short ? 1 : 0;
    plan.tight += step.tight ? 1 : 0;
    plan.change_s += step.way.change.seconds;
    plan.slide_moves += step.way.change.slide_moved ? 1 : 0;
    plan.reach_sum_m += step.way.reach_m;
    plan.greatest_reach_m = std::max(plan.greatest_reach_m, step.way.reach_m);
}

void name_packed(const HornLengths& horn, Plan& plan) {
    PieceSet between = 0;
    std::set<int> crooks;
    for (const PlanStep& step : plan.steps) {
        between |= step.buildable ? step.way.stack.between : 0;
        if (step.buildable && step.way.stack.crook >= 0) {
            crooks.insert(step.way.stack.crook);
        }
    }
    for (const int crook : crooks) {
        plan.packed.push_back(horn.crooks[static_cast<std::size_t>(crook)].name);
    }
    for (std::size_t i = 0; i < horn.between.size(); ++i) {
        if (((between >> i) & 1U) != 0) {
            plan.packed.push_back(horn.between[i].name);
        }
    }
}

/// A choice with the candidates it was made from.
struct Chosen {
    Candidates candidates;
    Choice choice;
    bool all_compared = true;
};

/// What is on the horn before: the stack of the request, the slide where it usually stands.
std::optional<Start>
start_of(const HornLengths& horn, const PlanRequest& request, const SlidePlaces& places) {
    if (!request.from) {
        return std::nullopt;
    }
    return Start{*request.from, places.nearest(horn.slide.usual_pull_m)};
}

/// Empty when it would take too long or too much memory.
std::optional<Chosen> choose_from(const HornLengths& horn,
                                  const Twins& twins,
                                  Candidates candidates,
                                  const Weighing& weighing,
                                  const PlanRequest& request) {
    const auto from = start_of(horn, request, candidates.places);
    if (request.choose == Choose::fewest_pieces) {
        auto fewest = fewest_pieces_choice(twins, candidates, weighing, from);
        if (!fewest) {
            return std::nullopt;
        }
        return Chosen{std::move(candidates), std::move(fewest->choice), fewest->all_compared};
    }
    const auto search = CheapestSearch::over(twins, candidates);
    if (!search || search->work(candidates, weighing) > kMostWork) {
        return std::nullopt;
    }
    Choice choice = search->cheapest(candidates, weighing, from);
    return Chosen{std::move(candidates), std::move(choice), true};
}

/// Which numbers each place of the slide serves, a bit a number.
std::vector<std::uint64_t> served_by_place(const Candidates& candidates) {
    std::vector<std::uint64_t> served(static_cast<std::size_t>(candidates.places.count()), 0);
    for (std::size_t step = 0; step < candidates.target_of_step.size(); ++step) {
        if (candidates.target_of_step[step] < 0) {
            continue;
        }
        for (const Candidate& candidate :
             candidates.of_target[static_cast<std::size_t>(candidates.target_of_step[step])]) {
            for (int place = candidate.first_place; place <= candidate.last_place; ++place) {
                served[static_cast<std::size_t>(place)] |= std::uint64_t{1} << step;
            }
        }
    }
    return served;
}

/// Every set of at most so many places that serves all numbers which any place serves; one more than `kMostSets` when there
/// are too many.
class SetsOfPlaces {
public:
    SetsOfPlaces(const Candidates& candidates, int most)
        : served_(served_by_place(candidates)), from_(served_.size() + 1, 0), most_(most) {
        for (std::size_t place = served_.size(); place > 0; --place) {
            from_[place - 1] = from_[place] | served_[place - 1];
        }
        add(0, 0);
    }
    [[nodiscard]] std::vector<std::vector<int>> take() { return std::move(sets_); }

private:
    void add(std::size_t first, std::uint64_t covered) {
        if (covered == from_.front() && !places_.empty()) {
            sets_.push_back(places_);
        }
        if (static_cast<int>(places_.size()) == most_) {
            return;
        }
        for (std::size_t place = first; place < served_.size() && sets_.size() <= kMostSets &&
                                        (covered | from_[place]) == from_.front();
             ++place) {
            places_.push_back(static_cast<int>(place));
            add(place + 1, covered | served_[place]);
            places_.pop_back();
        }
    }

    std::vector<std::uint64_t> served_; ///< numbers, by place
    std::vector<std::uint64_t> from_;   ///< numbers that this place and those after it serve
    int most_;
    std::vector<int> places_;
    std::vector<std::vector<int>> sets_;
};

/// How many places of the slide it uses.
int slide_places_of(const Choice& choice) {
    std::set<int> places(choice.slide_of_step.begin(), choice.slide_of_step.end());
    places.erase(-1); // left out
    return static_cast<int>(places.size());
}

/// The best over all sets of few places. Empty when there are too many of them, or the search is too large.
std::optional<Chosen> choose_with_few_places(const HornLengths& horn,
                                             const Twins& twins,
                                             const Candidates& all,
                                             const std::vector<std::vector<int>>& sets,
                                             const Weighing& weighing,
                                             const PlanRequest& request) {
    if (sets.size() > kMostSets) {
        return std::nullopt;
    }
    std::optional<Chosen> best;
    std::size_t packed = 0;
    double work = 0.0;
    for (const std::vector<int>& places : sets) {
        Candidates few = only_places(all, places);
        if (const auto search = CheapestSearch::over(twins, few)) {
            work += search->work(few, weighing);
        }
        auto chosen = choose_from(horn, twins, std::move(few), weighing, request);
        if (!chosen || work > 2.0 * kMostWork) {
            return std::nullopt;
        }
        const std::size_t pieces = request.choose == Choose::fewest_pieces
                                       ? different_pieces(chosen->candidates, chosen->choice)
                                       : 0;
        if (!best ||
            std::pair(pieces, chosen->choice.cost) < std::pair(packed, best->choice.cost)) {
            best = std::move(chosen);
            packed = pieces;
        }
    }
    return best;
}

/// What to search, the whole question first, then less and less of it.
std::vector<Bounds> attempts(const HornLengths& horn, const PlanRequest& request) {
    const int most = searchable_most_between(horn, request.most_between);
    std::vector<Bounds> all{{most, 0.001}, {most, 0.003}, {most, 0.005}};
    for (int fewer = most - 1; fewer >= 0; --fewer) {
        all.push_back({fewer, 0.005});
    }
    return all;
}

std::string what_was_left(const Bounds& searched, const SlidePlaces& places, int asked) {
    std::string text;
    if (searched.most_between < asked) {
        text =
            "stacks with more than " + std::to_string(searched.most_between) + " couplers and bits";
    }
    if (searched.slide_step_m > 0.0015 && places.count() > 1) {
        const long step_mm = std::lround(1000.0 * places.pull_m[1]);
        text += (text.empty() ? "" : " and ") + std::string("slide places other than every ") +
                std::to_string(step_mm) + " mm";
    }
    return text.empty() ? ""
                        : "The box is too large to be searched whole: " + text +
                              " were not searched. Fewer pieces between (--most-between) or fewer "
                              "pieces in the profile let it be searched whole.";
}

Plan plan_of(const HornLengths& horn,
             const SetList& list,
             const Gathered& gathered,
             const Bounds& bounds,
             const PlanRequest& request,
             const Chosen& chosen) {
    Plan plan;
    plan.choose = request.choose;
    plan.candidates = gathered.found;
    plan.all_compared = chosen.all_compared;
    plan.searched_between = bounds.most_between;
    const SlidePlaces& places = gathered.candidates.places;
    plan.slide_step_m = places.count() > 1 ? places.pull_m[1] : 0.0;
    const int asked = std::min(request.most_between, static_cast<int>(horn.between.size()));
    plan.not_searched = what_was_left(bounds, places, asked);
    std::optional<Start> before = start_of(horn, request, chosen.candidates.places);
    std::set<double> pulls_m;
    for (std::size_t i = 0; i < list.numbers.size(); ++i) {
        if (chosen.candidates.target_of_step[i] < 0) {
            const auto on_horn = before ? std::optional(before->stack) : std::nullopt;
            plan.steps.push_back(left_out(
                horn, list.numbers[i], gathered.target_of_step[i], request, bounds, on_horn));
            continue;
        }
        PlanStep step = built(horn, chosen.candidates, i, chosen.choice, before);
        step.number = list.numbers[i];
        step.target = gathered.target_of_step[i];
        add_up(step, plan);
        pulls_m.insert(step.way.slide.pull_m);
        before = Start{step.way.stack, chosen.choice.slide_of_step[i]};
        plan.steps.push_back(std::move(step));
    }
    plan.slide_places_m.assign(pulls_m.begin(), pulls_m.end());
    name_packed(horn, plan);
    return plan;
}

Result<void> check(const SetList& list, const PlanRequest& request) {
    if (list.numbers.empty() || list.numbers.size() > kMostNumbers) {
        return failure("A set list has 1 to " + std::to_string(kMostNumbers) + " numbers.");
    }
    if (!(request.tolerance_cents >= 0.0 && request.tolerance_cents <= 100.0)) {
        return usage_error("The tolerance must lie between 0 and 100 cents.");
    }
    if (request.most_slide_places && *request.most_slide_places < 1) {
        return usage_error("The slide needs one place at least.");
    }
    return {};
}

bool nothing_in_tune(const Candidates& candidates) {
    return std::all_of(candidates.target_of_step.begin(),
                       candidates.target_of_step.end(),
                       [](int target) { return target < 0; });
}

Chosen nothing_chosen(const Candidates& candidates) {
    Choice none;
    none.of_step.assign(candidates.target_of_step.size(), -1);
    none.slide_of_step = none.of_step;
    return {candidates, none, true};
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
    if (auto checked = check(list, request); !checked) {
        return tl::unexpected(checked.error());
    }
    const Twins twins = find_twins(horn, request.from ? request.from->between : 0);
    const Weighing weighing(request.choose, horn.change_times);
    for (const Bounds& bounds : attempts(horn, request)) {
        const auto gathered = gather(horn, twins, list, air, request, bounds);
        if (!gathered) {
            continue;
        }
        if (nothing_in_tune(gathered->candidates)) {
            return plan_of(
                horn, list, *gathered, bounds, request, nothing_chosen(gathered->candidates));
        }
        std::optional<Chosen> chosen =
            choose_from(horn, twins, gathered->candidates, weighing, request);
        if (request.most_slide_places &&
            (!chosen || slide_places_of(chosen->choice) > *request.most_slide_places)) {
            const int most = *request.most_slide_places;
            const auto sets = SetsOfPlaces(gathered->candidates, most).take();
            if (sets.empty()) {
                return failure(
                    (most == 1 ? "No single place of the slide serves"
                               : "No " + std::to_string(most) + " places of the slide serve") +
                    std::string(" every number: allow more, a larger --tolerance, or longer "
                                "stacks."));
            }
            chosen =
                choose_with_few_places(horn, twins, gathered->candidates, sets, weighing, request);
        }
        if (chosen) {
            return plan_of(horn, list, *gathered, bounds, request, *chosen);
        }
    }
    return failure("So many stacks are in tune that they cannot be compared: take a smaller "
                   "--tolerance.");
}

} // namespace bellhand::instrument
