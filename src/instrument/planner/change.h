#pragma once

#include "instrument/planner/assembly.h"

#include <string>
#include <vector>

namespace bellhand::instrument {

/// What the player does between two stacks.
struct Change {
    std::vector<std::string> off; ///< put away
    std::vector<std::string> on;  ///< taken up
    bool crook_lifted = false;    ///< the crook stays but must come off and go on again
    bool slide_moved = false;     ///< to another mark
    double seconds = 0.0;         ///< estimate
};

/// How many couplers and bits leave and come: everything the estimate depends on.
struct ChangeCount {
    int off = 0;
    int on = 0;
};

[[nodiscard]] inline ChangeCount count_change(PieceSet from, PieceSet to) noexcept {
    return {std::popcount(from & ~to), std::popcount(to & ~from)};
}

/// A time of the profile as the planner counts it: whole tenths of a second, so that sums are exact.
[[nodiscard]] int in_tenths(double seconds) noexcept;

/// Estimated seconds from one stack to another; 0 when nothing is done. Any swap takes the crook off and sets the same
/// or another one (`crook_s`), each coupler or bit taken out or put in adds its time, and so does the slide when it goes
/// to another mark. Estimate: a prepared terminal crook takes 3 to 5 s, master crook with couplers is slowest (common
/// practice, no source); the times of the profile may be the player's own, each to a tenth of a second.
[[nodiscard]] double change_seconds(const ChangeTimes& times,
                                    const Stack& from,
                                    const Stack& to,
                                    bool slide_moved = false) noexcept;

[[nodiscard]] Change change_between(const HornLengths& horn,
                                    const Stack& from,
                                    const Stack& to,
                                    bool slide_moved = false);

/// Pieces that are alike in everything the planner looks at, so that only how many are used matters.
///
/// `before[i]` is the twin that is taken up before piece i, or -1. Those mounted in `from` come first, so that a plan
/// keeps the very pieces that are on the horn.
struct Twins {
    std::vector<int> before;

    /// True when every used piece has its earlier twin in use too: one representative of each set of equal stacks.
    [[nodiscard]] bool canonical(PieceSet set) const noexcept {
        for (const auto& [piece, twin] : pairs) {
            if (((set >> piece) & 1U) != 0 && ((set >> twin) & 1U) == 0) {
                return false;
            }
        }
        return true;
    }

    struct Pair {
        int piece = 0;
        int twin = 0;
    };
    std::vector<Pair> pairs; ///< the entries of `before` that are not -1
};
[[nodiscard]] Twins find_twins(const HornLengths& horn, PieceSet mounted = 0);

} // namespace bellhand::instrument
