#include "instrument/planner/warm_up.h"

#include "horn/acoustics/air.h"
#include "instrument/lengths.h"

#include <cmath>

namespace bellhand::instrument {

WarmUp warm_up(double now_c, double room_c, double minutes) {
    constexpr double kBreath_c = 34.0;
    constexpr double kTimeConstant_min = 5.0;
    WarmUp out;
    out.now_c = now_c;
    const double played_c = 0.5 * (room_c + kBreath_c);
    const double left = std::exp(-minutes / kTimeConstant_min);
    out.later_c = played_c + (now_c - played_c) * left;
    out.later_sd_c *= 1.0 - left;
    out.rise_cents = horn::acoustics::warming_cents(now_c, out.later_c);
    out.rise_sd_cents = out.later_sd_c * horn::acoustics::cents_per_degree(out.later_c);
    return out;
}

WarmSlide
warm_slide(const HornLengths& horn, const Stack& stack, const Target& target, const WarmUp& warm) {
    const double length_m = pushed_in_m(horn, stack);
    const auto wanted_m = [&](double temperature_c) {
        Target at = target;
        at.air.temperature_c = temperature_c;
        return target_length_m(at);
    };
    WarmSlide out;
    out.now = set_slide(horn, length_m, wanted_m(warm.now_c));
    out.later = set_slide(horn, length_m, wanted_m(warm.later_c));
    out.later_with_slide_as_now_cents =
        slide_at(horn, length_m, wanted_m(warm.later_c), out.now.pull_m).left_cents;
    return out;
}

} // namespace bellhand::instrument
