#pragma once

#include "instrument/planner/set_list.h"
#include "instrument/planner/ways.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::instrument {

/// What the plan for a set list is best in. Each is a strict order of wishes: a later one decides only between plans
/// that are equal in all earlier ones. "Doable" counts changes whose estimate is longer than the rest before them.
enum class Choose {
    fewest_pieces, ///< pieces packed; then doable; then seconds of change; then joints; then cents left
    least_change, ///< doable; then seconds of change; then joints; then cents left
    least_reach,  ///< doable; then the sum of reach over the numbers, in mm; then seconds of change
};

/// "fewest-pieces", "least-change", "least-reach". Errors (usage): none of them.
[[nodiscard]] Result<Choose> parse_choose(std::string_view text);
[[nodiscard]] const char* choose_id(Choose choose) noexcept;

struct PlanRequest {
    Choose choose = Choose::least_change;
    double tolerance_cents = kUsualTolerance_cents; ///< of what the slide leaves; at most 100
    int most_between = 6;                           ///< couplers and bits in one stack
    std::optional<Stack> from;                      ///< on the horn before the first number
};

/// One number with its stack and how to get there.
struct PlanStep {
    Number number;
    bool buildable =
        true; ///< false: `way` is the nearest this horn comes, and the plan leaves the number out
    Way way;  ///< `way.change` is from the stack before
    bool too_short = false; ///< the change takes longer than the rest
};

struct Plan {
    Choose choose = Choose::least_change;
    std::vector<PlanStep> steps;
    std::vector<std::string>
        packed;            ///< pieces to take along: crooks, couplers, bits in the profile's order
    int too_short = 0;     ///< changes that take longer than the rest before them
    double change_s = 0.0; ///< all changes together, estimate
    double reach_sum_m = 0.0;
    double greatest_reach_m = 0.0;
    std::uint64_t candidates = 0; ///< stacks in tune, over all different targets
    /// False only for `fewest_pieces` when so many smallest sets exist that not all were compared for the later wishes.
    bool all_compared = true;
};

/// Chooses a stack for every number so that the plan is best in the sense of `Choose`. Exact over all stacks with at
/// most `most_between` couplers and bits; README.md one folder up tells the method. A number that this horn cannot build within
/// tolerance is left out and marked; the horn is then taken to keep its stack meanwhile.
///
/// Errors: nothing to plan; a search too large to be exact (more pieces than documented and long stacks together).
[[nodiscard]] Result<Plan> plan_set_list(const HornLengths& horn,
                                         const SetList& list,
                                         const AirInHorn& air,
                                         const PlanRequest& request);

} // namespace bellhand::instrument
