#pragma once

#include "hand/balance.h"

namespace bellhand::hand {

/// One movement of the hand with some still pitch on either side.
struct BumpQuestion {
    std::span<const pitch::PitchPoint> points; ///< 21 ms apart
    double before_cents = 0.0;                 ///< the pitch that stands before, and after
    double after_cents = 0.0;
    double lips_cents = 1.0;    ///< standard deviation of the lips' wander
    double tremble_cents = 0.2; ///< of what changes from point to point: a tremor, the ear
};

struct BumpAnswer {
    bool known = false; ///< false: the movement has no beginning and end that can be told
    HandMove move;
    std::vector<double> hand_cents; ///< the bend alone, one for each point
};

/// See `balance_of`.
[[nodiscard]] BumpAnswer search_bump(const BumpQuestion& question);

} // namespace bellhand::hand
