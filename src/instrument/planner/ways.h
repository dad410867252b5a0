#pragma once

#include "instrument/planner/change.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

namespace bellhand::instrument {

/// A key to be built: at which pitch, in what air.
struct Target {
    horn::Crook key{};
    double a4_hz = 440.0;
    AirInHorn air;
};

/// Open notes within 5 cents are in tune (common practice, no source).
inline constexpr double kUsualTolerance_cents = 5.0;

/// How a stack reaches a target with the tuning slide.
struct SlideSetting {
    double pull_m = 0.0;       ///< where the slide goes, 0 to its longest pull
    double left_cents = 0.0;   ///< still too high (+) or too low (-) then
    double before_cents = 0.0; ///< with the slide in its usual place
};
[[nodiscard]] SlideSetting
set_slide(const HornLengths& horn, double pushed_in_m, double target_m) noexcept;

/// The same with the slide at a place of its own.
[[nodiscard]] SlideSetting
slide_at(const HornLengths& horn, double pushed_in_m, double target_m, double pull_m) noexcept;

/// One way to build a key.
struct Way {
    Stack stack;
    SlideSetting slide;
    int joints = 0;
    double reach_m = 0.0;
    Change change;       ///< from the stack that is on the horn; empty when none was given
    bool in_tune = true; ///< within tolerance as far as the lengths are known
    double chance =
        1.0; ///< that the slide really brings it within tolerance, by what is known of the lengths
};

struct BuildRequest {
    Target target;
    double tolerance_cents = kUsualTolerance_cents; ///< of what the slide leaves
    int most_between = 6;                           ///< couplers and bits in one stack
    std::optional<Stack> from;
    std::size_t most_ways = 20; ///< how many of the best are returned
};

struct BuildAnswer {
    std::vector<Way>
        ways; ///< best first; those that may only just be in tune come after the others
    std::uint64_t found =
        0; ///< all ways within tolerance, `ways` or not; equal pieces counted once
    std::uint64_t stacks = 0; ///< all that can be put together within `searched_between`
    bool in_tune = true;      ///< false: nothing is within tolerance, `ways` holds the nearest
    int searched_between = 0; ///< fewer than asked when there are too many stacks
};

/// Every way to build a key from this horn, ranked.
///
/// Order, as players choose: chance that the slide reaches the key (likely, even, doubtful); joints, for within tolerance
/// a shorter stack is worth more than the last cent; seconds of change from `from`; what the slide leaves, in whole
/// cents; reach; how far the slide stands from its usual place; then the profile's order of pieces, so that equal
/// questions get equal answers. Stacks that miss the tolerance by less than the lengths are uncertain are listed too.
///
/// Exact: all sets of couplers and bits are covered by meeting in the middle (Horowitz & Sahni, J. ACM 21, 277, 1974):
/// sums of either half, sorted by number of pieces, are matched by bisection against the window that slide and
/// tolerance leave.
[[nodiscard]] BuildAnswer ways_to_build(const HornLengths& horn, const BuildRequest& request);

/// Acoustic length that the target asks for.
[[nodiscard]] double target_length_m(const Target& target) noexcept;

/// Calls `visit` for every stack within tolerance of the target length, one of each set of equal stacks, until it
/// returns false. The order is not specified.
void each_stack_in_tune(const HornLengths& horn,
                        const Twins& twins,
                        double target_m,
                        double tolerance_cents,
                        int most_between,
                        const std::function<bool(const Stack&, double pushed_in_m)>& visit);

} // namespace bellhand::instrument
