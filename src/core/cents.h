#pragma once

#include <cmath>

namespace bellhand {

/// Distance of `hz` above `reference_hz` in cents, 1200 log2(hz / reference_hz); below it, negative. Both above 0. Any
/// two quantities whose ratio is that of their frequencies may be given; with a reference of 1 it is a place on the scale
/// of cents.
[[nodiscard]] inline double cents_between(double hz, double reference_hz) noexcept {
    return 1200.0 * std::log2(hz / reference_hz);
}

/// Ratio of two frequencies that are `cents` apart, 2^(cents / 1200): the way back.
[[nodiscard]] inline double ratio_of_cents(double cents) noexcept {
    return std::exp2(cents / 1200.0);
}

} // namespace bellhand
