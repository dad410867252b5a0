#pragma once

#include "instrument/planner/ways.h"

namespace bellhand::instrument {

/// Air in the horn while it is played in.
struct WarmUp {
    double now_c = 20.0;
    double later_c = 20.0;
    double later_sd_c = 2.0;
    double rise_cents = 0.0; ///< how far the whole horn rises from now to then
    double rise_sd_cents = 0.0;
};

/// What a horn at `now_c` in a room of `room_c` does in so many minutes of playing. Played through, its air stands half-way
/// between room and breath of 34 degrees C (25 to 30 in a room of 20; from memory), approached with a time constant of
/// five minutes (common practice, no source). Cents by the square-root law of the speed of sound.
[[nodiscard]] WarmUp warm_up(double now_c, double room_c, double minutes);

/// The slide for one stack, cold and warm.
struct WarmSlide {
    SlideSetting now;
    SlideSetting later;
    double later_with_slide_as_now_cents =
        0.0; ///< how far off it stands when nobody moves the slide
};
[[nodiscard]] WarmSlide
warm_slide(const HornLengths& horn, const Stack& stack, const Target& target, const WarmUp& warm);

} // namespace bellhand::instrument
