#pragma once

// What the two searches of the planner share. Not part of the module's face.

#include "instrument/planner/piece_lattice.h"
#include "instrument/planner/planner.h"

#include <array>
#include <cstdint>
#include <limits>
#include <vector>

namespace bellhand::instrument {

/// Where the slide may stand, shortest pull first. Players set it to marks: whole millimetres, wider apart on a slide
/// that is longer than `kMostSlidePlaces` of them.
struct SlidePlaces {
    std::vector<double> pull_m{0.0};

    [[nodiscard]] int count() const { return static_cast<int>(pull_m.size()); }
    /// The one nearest to a pull.
    [[nodiscard]] int nearest(double pull_m) const noexcept;
};
inline constexpr int kMostSlidePlaces = 64;

/// Places from pushed in to the longest pull, `step_m` apart.
[[nodiscard]] SlidePlaces slide_places(const TuningSlide& slide, double step_m);

/// A stack in tune for one target with the slide at the places `first_place` to `last_place`.
struct Candidate {
    Stack stack;
    std::int32_t reach_mm = 0;
    std::int32_t first_place = 0;
    std::int32_t last_place = 0;
    double pushed_in_m = 0.0; ///< acoustic length with the slide in

    [[nodiscard]] int places() const { return last_place - first_place + 1; }
};

/// By set of pieces, then crook: the order of every list of candidates.
[[nodiscard]] bool stack_before(const Candidate& a, const Candidate& b) noexcept;

/// The rest before a number, and what of it may be used for a change when a margin is kept.
struct Rest {
    std::int32_t whole_tenths_s = 0;
    std::int32_t usable_tenths_s = 0;
};
inline constexpr std::int32_t kLongRest = std::numeric_limits<std::int32_t>::max();

/// The different targets of a list, each with every stack that is in tune for it.
struct Candidates {
    SlidePlaces places;
    std::vector<double> slide_adds_m; ///< acoustic length at each place
    std::vector<double> target_m;     ///< acoustic length of each target
    std::vector<std::vector<Candidate>> of_target;
    std::vector<int> target_of_step; ///< -1: no stack is in tune
    std::vector<Rest> rest;          ///< before each step

    /// What the slide leaves there, tenths of a cent, absolute.
    [[nodiscard]] std::int64_t
    left_tenths(std::size_t target, const Candidate& candidate, int place) const noexcept;
};

/// What is searched: the longest stacks and how far slide places lie apart.
struct Bounds {
    int most_between = 6;
    double slide_step_m = 0.001;
};

/// Every number of a list with what could serve it. Empty when there are more stacks than can be compared.
struct Gathered {
    Candidates candidates;
    std::vector<Target> target_of_step;
    std::size_t found = 0; ///< stacks in tune, over all different targets
};
[[nodiscard]] std::optional<Gathered> gather(const HornLengths& horn,
                                             const Twins& twins,
                                             const SetList& list,
                                             const AirInHorn& air,
                                             const PlanRequest& request,
                                             const Bounds& bounds);

/// The same with the slide kept to some of its places (in their order); stacks that none of them serves are left out.
[[nodiscard]] Candidates only_places(const Candidates& all, const std::vector<int>& places);

/// The stack and the slide before the first number.
struct Start {
    Stack stack;
    int place = 0;
};

/// Costs are wishes in strict order, packed into one integer so that sums keep the order. All fields are whole: tenths
/// of seconds, millimetres, fifths of cents.
///
/// How a plan is weighed: the sum over its steps of `of_stack` and over its changes of `of_change`.
class Weighing {
public:
    Weighing(Choose choose, const ChangeTimes& times);

    [[nodiscard]] Cost of_stack(const Candidate& candidate,
                                std::int64_t left_tenths) const noexcept {
        return stack_joint_ * pieces_in(candidate.stack) + stack_reach_mm_ * candidate.reach_mm +
               stack_left_ * (left_tenths / 2);
    }

    /// Cost of so much time in this rest.
    [[nodiscard]] Cost of_time(std::int32_t taken_tenths, const Rest& rest) const noexcept {
        return second_tenth * taken_tenths + (taken_tenths > rest.whole_tenths_s    ? too_short
                                              : taken_tenths > rest.usable_tenths_s ? tight
                                                                                    : 0);
    }

    /// Tenths of seconds for one change.
    [[nodiscard]] std::int32_t
    taken_tenths(const Stack& from, const Stack& to, bool slide_moved) const noexcept {
        const ChangeCount count = count_change(from.between, to.between);
        return (from == to ? 0 : crook_tenths + count.off * off_tenths + count.on * on_tenths) +
               (slide_moved ? slide_tenths : 0);
    }

    // Tenths of a second, and what one of them, a change without margin and an impossible one weigh.
    std::int32_t crook_tenths = 0;
    std::int32_t off_tenths = 0;
    std::int32_t on_tenths = 0;
    std::int32_t slide_tenths = 0;
    Cost second_tenth = 0;
    Cost tight = 0;
    Cost too_short = 0;

private:
    Cost stack_joint_ = 0;
    Cost stack_reach_mm_ = 0;
    Cost stack_left_ = 0;
};

/// For each step the chosen candidate's place in its target's list and the slide's place (-1 for steps left out).
struct Choice {
    std::vector<int> of_step;
    std::vector<int> slide_of_step;
    Cost cost = kNoPlan;
};

/// The cheapest choice over all candidates and slide places, by dynamic programming over the steps.
class CheapestSearch {
public:
    /// Empty when there are more sets of pieces than fit.
    [[nodiscard]] static std::optional<CheapestSearch> over(const Twins& twins,
                                                            const Candidates& candidates);

    /// Elementary comparisons that one search of these candidates takes at most, for a bound on time.
    [[nodiscard]] double work(const Candidates& candidates, const Weighing& weighing) const;

    /// The candidates must be those of `over`.
    [[nodiscard]] Choice cheapest(const Candidates& candidates,
                                  const Weighing& weighing,
                                  const std::optional<Start>& from) const;

private:
    PieceLattice lattice_;
    std::vector<std::vector<std::size_t>>
        sets_; ///< per target: each candidate's place in the lattice
};

/// How many different pieces a choice packs.
[[nodiscard]] std::size_t different_pieces(const Candidates& candidates, const Choice& choice);

/// The same by comparing every pair of neighbours directly: for few candidates.
[[nodiscard]] Choice cheapest_choice_directly(const Candidates& candidates,
                                              const Weighing& weighing,
                                              const std::optional<Start>& from);

struct FewestChoice {
    Choice choice;
    std::size_t pieces = 0;
    bool all_compared = true;
};

/// The cheapest choice among those that use the fewest different pieces in all. Empty when there are more sets than fit.
[[nodiscard]] std::optional<FewestChoice> fewest_pieces_choice(const Twins& twins,
                                                               const Candidates& candidates,
                                                               const Weighing& weighing,
                                                               const std::optional<Start>& from);

} // namespace bellhand::instrument
