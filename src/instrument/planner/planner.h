#pragma once

#include "instrument/planner/set_list.h"
#include "instrument/planner/ways.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::instrument {

/// What the plan for a set list is best in. Each is a strict order of wishes: a later one decides only between plans
/// that are equal in all earlier ones. "Doable" counts first changes that take longer than the rest before them, then
/// those that leave no margin. Moving the slide takes time like everything else, so it moves seldom.
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
    std::optional<Stack>
        from; ///< on the horn before the first number, slide where it usually stands
    /// Times are estimates: a change is comfortable when so much longer than estimated it would still fit (common
    /// practice, no source).
    double margin_s = 2.0;
    double margin_share = 0.25;
    /// At most so many places of the slide for the whole list; empty: as many as the plan needs. More than two are searched
    /// with marks further apart, as the plan says, unless the plan needs no more by itself.
    std::optional<int> most_slide_places;
};

/// One number with its stack and how to get there.
struct PlanStep {
    Number number;
    Target target; ///< what the number asks for
    bool buildable =
        true; ///< false: `way` is the nearest this horn comes, and the plan leaves the number out
    Way way;  ///< `way.change` is from the stack before
    bool too_short = false; ///< the change takes longer than the rest
    bool tight = false;     ///< it fits, but without the margin
};

struct Plan {
    Choose choose = Choose::least_change;
    std::vector<PlanStep> steps;
    std::vector<std::string>
        packed;        ///< pieces to take along: crooks, couplers, bits in the profile's order
    int too_short = 0; ///< changes that take longer than the rest before them
    int tight = 0;     ///< changes that fit without the margin
    std::vector<double> slide_places_m; ///< pulls used, shortest first
    int slide_moves = 0;
    double change_s = 0.0; ///< all changes together, estimate
    double reach_sum_m = 0.0;
    double greatest_reach_m = 0.0;
    std::uint64_t candidates = 0; ///< stacks in tune, over all different targets
    /// False only for `fewest_pieces` when so many smallest sets exist that not all were compared for the later wishes.
    bool all_compared = true;
    int searched_between =
        0; ///< longest stacks that were searched; fewer than asked in a very large box
    double slide_step_m = 0.0; ///< slide places that were searched lie so far apart
    std::string not_searched;  ///< a sentence, empty when nothing that was asked for is left out
};

/// Chooses a stack and a place of the slide for every number so that the plan is best in the sense of `Choose`. Exact
/// over all stacks with at most `searched_between` couplers and bits and all slide places `slide_step_m` apart (whole
/// millimetres); README.md one folder up tells the method. A box too large for about three seconds is searched with fewer slide
/// places, then with shorter stacks, and the plan says so. A number that this horn cannot build within tolerance is
/// left out and marked; the horn is then taken to keep its stack meanwhile.
///
/// Errors: nothing to plan; no two places of the slide serve all numbers.
[[nodiscard]] Result<Plan> plan_set_list(const HornLengths& horn,
                                         const SetList& list,
                                         const AirInHorn& air,
                                         const PlanRequest& request);

} // namespace bellhand::instrument
