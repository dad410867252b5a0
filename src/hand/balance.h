#pragma once

#include "pitch/motion.h"

#include <cstddef>
#include <span>
#include <vector>

namespace bellhand::hand {

/// One change of the hand inside a tone that went on: from one pitch that stood still to the next.
struct HandMove {
    double from_s = 0.0; ///< where the hand sets out, as far as the pitch tells
    double to_s = 0.0;   ///< and arrives
    double bend_cents = 0.0;
    double jolt_cents = 0.0; ///< the likeliest bump beside the bend, positive = higher
    double jolt_at_s = 0.0;  ///< its middle
    double jolt_s = 0.0;     ///< how long it lasts
    bool slow = false; ///< false: so quick that a bump cannot be told from the hand's own speed
    double hearable_cents =
        0.0;             ///< a bump of 160 ms below this cannot be heard apart from hand and lips
    bool jolted = false; ///< slow, and the bump is more than the hand and the lips would make
};

/// How quietly horn and lips stayed while the hand moved.
struct Balance {
    bool known = false;             ///< the tone has at least 1.5 s, half a second of it still
    double wobble_cents = 0.0;      ///< standard deviation of the pitch where the hand stood still
    double drift_cents_per_s = 0.0; ///< there, the mean over all of it
    std::vector<HandMove> moves;    ///< in order
    std::vector<pitch::PitchPoint> heard; ///< the curve, 21 ms apart
    std::vector<double>
        hand_cents; ///< the hand's own bend as it is taken to be, one for each of `heard`
};

/// Looks for bumps of 50 to 300 ms beside the bend of the hand. `points`: judged pitches of one tone, attack and release left
/// out, in order of time. `quiet_cents`: wobble of this player's own long tone; 0 where it is not known, and the still parts
/// of this one serve.
///
/// The hand is supposed to move as practised movements do, with the least jerk (Flash and Hogan, J. Neurosci. 5, 1985), or
/// nearly: in time it may run ahead or behind by a twentieth of the movement, evenly over a seventh of it. Lips wander as the
/// still parts do. Both are Gaussian processes; a bump is weighed against them by generalised least squares (Rasmussen and
/// Williams, Gaussian Processes for Machine Learning, 2006, ch. 2.7). What the hand can do itself is no jolt: in a quick
/// movement that is nearly everything.
[[nodiscard]] Balance balance_of(std::span<const pitch::PitchPoint> points,
                                 double quiet_cents = 0.0);

} // namespace bellhand::hand
