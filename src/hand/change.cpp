#include "hand/change.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

// What counts as a change of the hand, and when it is over: this program's choice.
constexpr double kLeastStep_cents = 25.0;
constexpr double kBefore_s = 0.25; // looked at on either side of the boundary
constexpr double kAfter_s = 0.45;
constexpr double kLevel_s = 0.15;  // on either side, for the level that the dip is against
constexpr double kBreak_s = 0.080; // a longer hole in the tone is a new attack
constexpr double kSettled_cents = 8.0;
constexpr double kHole_s = 0.015; // more than two hops without a pitch
constexpr double kShareOfHole = 0.45;
constexpr double kMsForEachCent = 5.0;

/// A pitch at a time.
struct Point {
    double time_s = 0.0;
    double share = 0.0; // of the step: 0 old pitch, 1 new pitch
};

/// Where the line through two points reaches a share.
double crossing(const Point& a, const Point& b, double share) {
    const double rise = b.share - a.share;
    return std::fabs(rise) < 1e-9
               ? b.time_s
               : a.time_s + (b.time_s - a.time_s) * std::clamp((share - a.share) / rise, 0.0, 1.0);
}

/// How long the pitch of the ear is smeared: its window is four and a half periods or 24 ms, whichever is longer.
double smear_s(double cents) {
    const double hz = ratio_of_cents(cents);
    return 0.33 * std::max(4.5 / hz, 0.024);
}

} // namespace

Change change_of(const HopRing& hops, const Boundary& boundary) noexcept {
    Change out;
    out.step_cents = boundary.after_cents - boundary.before_cents;
    if (!(std::fabs(out.step_cents) >= kLeastStep_cents)) {
        return out;
    }
    const double from_s = std::max(boundary.before_start_s, boundary.at_s - kBefore_s);
    const double to_s = std::min(boundary.after_end_s, boundary.at_s + kAfter_s);
    const std::size_t oldest = hops.since(from_s);
    if (oldest >= hops.size()) {
        return out;
    }
    Point before;
    bool any = false;
    double tenth_s = -1.0;
    double nine_tenths_s = -1.0;
    double settled_s = -1.0;
    double furthest = 0.0;
    bool in_hole = false;
    bool after_hole = false;
    Point hole_end;
    double hole_start_s = 0.0;
    double power_before = 0.0;
    double power_after = 0.0;
    double lowest_db = 0.0;
    int count_before = 0;
    int count_after = 0;
    const double settled_share = kSettled_cents / std::fabs(out.step_cents);
    for (std::size_t back = oldest + 1; back-- > 0;) {
        const Hop& hop = hops.back(back);
        if (hop.time_s > to_s) {
            break;
        }
        if (std::fabs(hop.time_s - boundary.at_s) < kLevel_s) {
            lowest_db = std::min(lowest_db, hop.level_dbfs);
        }
        if (std::fabs(hop.time_s - boundary.at_s) > 0.5 * kLevel_s &&
            std::fabs(hop.time_s - boundary.at_s) < 1.5 * kLevel_s) {
            const bool early = hop.time_s < boundary.at_s;
            (early ? power_before : power_after) += std::pow(10.0, 0.1 * hop.level_dbfs);
            ++(early ? count_before : count_after);
        }
        if (!hop.voiced || hop.judged_time_s < 0.0) {
            continue;
        }
        const Point now{hop.judged_time_s,
                        (hop.judged_cents - boundary.before_cents) / out.step_cents};
        if (any && now.time_s <= before.time_s) {
            continue;
        }
        if (any && now.time_s - before.time_s > kBreak_s) {
            return out;
        }
        if (!any) {
            if (now.share > 0.5) {
                return out; // the old note was not heard to its end
            }
            before = now;
            any = true;
        }
        const double hole_s = now.time_s - before.time_s;
        if (nine_tenths_s < 0.0 && before.share < 0.1 && now.share >= 0.9 && hole_s > kHole_s) {
            // The whole step lies in a hole where the ear changed over. It took somewhere between no time and all of the
            // hole; the middle errs least.
            const double middle_s = 0.5 * (before.time_s + now.time_s);
            in_hole = true;
            tenth_s = middle_s - 0.5 * kShareOfHole * hole_s;
            nine_tenths_s = middle_s + 0.5 * kShareOfHole * hole_s;
        } else if (nine_tenths_s < 0.0) {
            if (now.share >= 0.1 && before.share < 0.1) {
                tenth_s = crossing(before, now, 0.1);
                after_hole = hole_s > kHole_s;
                hole_end = now;
                hole_start_s = before.time_s;
            } else if (after_hole) {
                // The movement was under way when the ear found it again: back along the slope seen next.
                const double slope = (now.share - hole_end.share) / hole_s;
                const double back_s = (hole_end.share - 0.1) / std::max(slope, 1e-3);
                tenth_s = std::max(hole_start_s, hole_end.time_s - back_s);
                after_hole = false;
            }
            if (now.share >= 0.9 && before.share < 0.9) {
                nine_tenths_s = crossing(before, now, 0.9);
            }
        }
        const double off = std::fabs(now.share - 1.0);
        if (off > settled_share) {
            settled_s = -1.0;
        } else if (settled_s < 0.0) {
            settled_s = crossing(
                before, now, before.share < now.share ? 1.0 - settled_share : 1.0 + settled_share);
            if (before.share < 0.1 && hole_s > kHole_s) {
                settled_s = nine_tenths_s;
            }
        }
        if (nine_tenths_s >= 0.0) {
            furthest = std::max(furthest, now.share - 1.0);
        }
        before = now;
    }
    if (tenth_s < 0.0 || nine_tenths_s < tenth_s || settled_s < 0.0) {
        return out;
    }
    out.known = true;
    const double smeared = nine_tenths_s - tenth_s;
    const double smear = smear_s(std::min(boundary.before_cents, boundary.after_cents));
    const double clean = std::sqrt(std::max(0.0, smeared * smeared - smear * smear));
    out.transition_s = in_hole ? smeared : clean;
    out.overshoot_cents = furthest * std::fabs(out.step_cents);
    out.settling_s = std::max(out.transition_s, settled_s - tenth_s);
    if (count_before > 0 && count_after > 0) {
        const double quieter = std::min(power_before / count_before, power_after / count_after);
        out.level_dip_db = std::max(0.0, 10.0 * std::log10(quieter + 1e-20) - lowest_db);
    }
    out.unrest_ms =
        1000.0 * (out.settling_s - out.transition_s) + kMsForEachCent * out.overshoot_cents;
    return out;
}

} // namespace bellhand::hand
