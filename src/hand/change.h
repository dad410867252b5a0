#pragma once

#include "hand/hop.h"

namespace bellhand::hand {

/// How the pitch went from one note to the next without a rest: the hand moved, the horn should not.
struct Change {
    bool known = false;
    double step_cents = 0.0;
    double transition_s = 0.0;    ///< from a tenth of the way to nine tenths
    double overshoot_cents = 0.0; ///< beyond the new pitch, 0 or more
    double settling_s = 0.0;      ///< from a tenth of the way until the pitch stays within 8 cents
    double level_dip_db = 0.0;    ///< lowest level on the way, below the quieter of both notes
    /// The figure: settling less transition in ms plus 5 ms for each cent of overshoot (this program's own choice).
    double unrest_ms = 0.0;
};

/// Two notes that follow on each other.
struct Boundary {
    double before_start_s = 0.0;
    double before_cents = 0.0; ///< held pitch, from 1 Hz
    double at_s = 0.0;         ///< where the second begins
    double after_end_s = 0.0;
    double after_cents = 0.0;
};

/// From the judged pitches around the boundary, whose smearing is taken out of the transition time. Not known when the
/// step is under 25 cents or no unbroken tone leads across. No allocation.
[[nodiscard]] Change change_of(const HopRing& hops, const Boundary& boundary) noexcept;

} // namespace bellhand::hand
