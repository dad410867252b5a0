#pragma once

// What the two searches of the planner share. Not part of the module's face.

#include "instrument/planner/planner.h"

#include <array>
#include <cstdint>
#include <limits>
#include <vector>

namespace bellhand::instrument {

/// A stack in tune for one target.
struct Candidate {
    Stack stack;
    std::int32_t reach_mm = 0;
    std::int32_t left_tenths = 0; ///< tenths of a cent, absolute, that the slide leaves
};

/// By set of pieces, then crook: the order of every list of candidates.
[[nodiscard]] bool stack_before(const Candidate& a, const Candidate& b) noexcept;

/// The different targets of a list, each with every stack that is in tune for it.
struct Candidates {
    std::vector<std::vector<Candidate>> of_target;
    std::vector<int> target_of_step;         ///< -1: no stack is in tune
    std::vector<std::int32_t> rest_tenths_s; ///< before each step; `kLongRest` when any change fits
};

inline constexpr std::int32_t kLongRest = std::numeric_limits<std::int32_t>::max();

/// Costs are wishes in strict order, packed into one integer so that sums keep the order. All fields are whole:
/// tenths of seconds, millimetres, tenths of cents.
using Cost = std::int64_t;
inline constexpr Cost kNoPlan = std::numeric_limits<Cost>::max() / 4;

/// How a plan is weighed: the sum over its steps of `of_stack` and over its changes of `of_change`.
class Weighing {
public:
    Weighing(Choose choose, const ChangeTimes& times);

    [[nodiscard]] Cost of_stack(const Candidate& candidate) const noexcept {
        return stack_joint_ * pieces_in(candidate.stack) + stack_reach_mm_ * candidate.reach_mm +
               stack_left_ * candidate.left_tenths;
    }

    /// Cost of one change; nothing when the stack stays.
    [[nodiscard]] Cost
    of_change(const Stack& from, const Stack& to, std::int32_t rest_tenths_s) const noexcept {
        if (from == to) {
            return 0;
        }
        const ChangeCount count = count_change(from.between, to.between);
        const std::int32_t taken = crook_tenths + count.off * off_tenths + count.on * on_tenths;
        return second_tenth * taken + (taken > rest_tenths_s ? too_short : 0);
    }

    // Tenths of a second, and what one of them and one impossible change weigh.
    std::int32_t crook_tenths = 0;
    std::int32_t off_tenths = 0;
    std::int32_t on_tenths = 0;
    Cost second_tenth = 0;
    Cost too_short = 0;

private:
    Cost stack_joint_ = 0;
    Cost stack_reach_mm_ = 0;
    Cost stack_left_ = 0;
};

/// For each step the chosen candidate's place in its target's list (-1 for steps left out), and the cost.
struct Choice {
    std::vector<int> of_step;
    Cost cost = kNoPlan;
};

/// The cheapest choice over all candidates, by dynamic programming over the steps. Errors: more stacks than fit.
[[nodiscard]] Result<Choice> cheapest_choice(const Twins& twins,
                                             const Candidates& candidates,
                                             const Weighing& weighing,
                                             const std::optional<Stack>& from);

/// The same by comparing every pair of neighbours directly: for few candidates.
[[nodiscard]] Choice cheapest_choice_directly(const Candidates& candidates,
                                              const Weighing& weighing,
                                              const std::optional<Stack>& from);

struct FewestChoice {
    Choice choice;
    std::size_t pieces = 0;
    bool all_compared = true;
};

/// The cheapest choice among those that use the fewest different pieces in all. Errors: more sets than fit.
[[nodiscard]] Result<FewestChoice> fewest_pieces_choice(const Twins& twins,
                                                        const Candidates& candidates,
                                                        const Weighing& weighing,
                                                        const std::optional<Stack>& from);

} // namespace bellhand::instrument
