#pragma once

#include <cmath>
#include <numbers>

namespace bellhand::bleed {

/// What a tone `bins` beside a von Hann window's centre leaves in it (1 at the centre).
[[nodiscard]] inline double hann_leak(double bins) noexcept {
    if (std::abs(bins) < 1e-9) {
        return 1.0;
    }
    if (std::abs(std::abs(bins) - 1.0) < 1e-9) {
        return 0.5;
    }
    const double x = std::numbers::pi * bins;
    return std::sin(x) / (x * (1.0 - bins * bins));
}

} // namespace bellhand::bleed
