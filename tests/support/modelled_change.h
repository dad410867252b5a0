#pragma once

#include "support/signals.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::test {

/// One hand change with a truth that can be written down: the pitch goes over on half a cosine, then swings around the
/// new pitch and dies away.
struct KnownChange {
    double from_hz = 220.0;
    double step_cents = -100.0;
    double at_s = 0.8;    ///< the movement begins
    double moves_s = 0.1; ///< on half a cosine
    double overshoot_cents = 0.0;
    double swing_hz = 5.0;
    double dies_s = 0.08; ///< time constant

    [[nodiscard]] double cents(double t) const {
        if (t <= at_s) {
            return 0.0;
        }
        const double along = std::min(1.0, (t - at_s) / moves_s);
        double value = step_cents * (0.5 - 0.5 * std::cos(std::numbers::pi * along));
        const double after = t - at_s - moves_s;
        if (after > 0.0 && overshoot_cents > 0.0) {
            // Peak of exp(-t / dies) sin(2 pi f t), so that the overshoot is what it says.
            const double w = 2.0 * std::numbers::pi * swing_hz;
            const double top_s = std::atan(w * dies_s) / w;
            const double top = std::exp(-top_s / dies_s) * std::sin(w * top_s);
            value += (step_cents < 0 ? -1.0 : 1.0) * overshoot_cents / top *
                     std::exp(-after / dies_s) * std::sin(w * after);
        }
        return value;
    }
    [[nodiscard]] double time_of_share(double share) const {
        for (double t = at_s; t < at_s + 2.0; t += 0.0001) {
            if (cents(t) / step_cents >= share) {
                return t;
            }
        }
        return at_s;
    }
    [[nodiscard]] double transition_s() const { return time_of_share(0.9) - time_of_share(0.1); }
    /// From a tenth of the way until it stays within `within_cents`.
    [[nodiscard]] double settling_s(double within_cents) const {
        double last = at_s;
        for (double t = at_s; t < at_s + 2.0; t += 0.0001) {
            if (std::fabs(cents(t) - step_cents) > within_cents) {
                last = t;
            }
        }
        return last - time_of_share(0.1);
    }
    [[nodiscard]] double f0_hz(double t) const { return from_hz * std::exp2(cents(t) / 1200.0); }
};

} // namespace bellhand::test
