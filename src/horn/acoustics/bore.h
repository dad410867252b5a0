#pragma once

#include "core/result.h"
#include "horn/acoustics/radiation.h"

#include <vector>

namespace bellhand::horn::acoustics {

/// One piece of straight-sided tube, from the mouthpiece side to the bell side. Equal radii make a cylinder.
struct Segment {
    double length_m = 0.0;
    double radius_in_m = 0.0;
    double radius_out_m = 0.0;
};

/// The inside of an instrument, first segment at the lips. The input is blocked (a flow source), the far end open.
struct Bore {
    std::vector<Segment> segments;
    OpenEnd end = OpenEnd::unflanged;
};

[[nodiscard]] double length_m(const Bore& bore) noexcept;

/// What a person can mistake in a bore: no segments or more than 5000, a length or radius that is not a positive
/// number, metres and millimetres mixed up (radius over 0.5 m or under 0.2 mm, length over 30 m in all), radius longer
/// than plausible steps are allowed. Errors (usage) name the segment, counted from 1 at the mouthpiece.
[[nodiscard]] Result<Bore> checked_bore(Bore bore);

/// A bell whose radius grows as rim * (x0 / (x0 + x))^exponent, x = distance from the rim (Bessel horn), cut into
/// straight cones of equal length, narrow end first. `slices` >= 1.
[[nodiscard]] std::vector<Segment>
bell_flare(double length_m, double rim_radius_m, double x0_m, double exponent, int slices);

/// A hand in the bell: over a window along the bore the passage narrows to the effective radius of the gap it leaves.
struct HandInBell {
    double gap_radius_m = 0.030; ///< radius of a round passage of the same area as the gap
    double depth_m = 0.10;       ///< middle of the hand, from the rim into the bell
    double length_m =
        0.08; ///< along the bore; the middle half is fully narrowed, the rest blends out
};

/// The same bore with the hand in it. The radius is r^(1-w) gap^w with w = 1 in the middle half of the window and a
/// raised cosine to 0 at its ends; where the bore is already narrower than the gap nothing changes. Segments in the
/// window are cut into pieces of at most 5 mm first.
[[nodiscard]] Bore with_hand(const Bore& bore, const HandInBell& hand);

} // namespace bellhand::horn::acoustics
