#pragma once

#include "horn/acoustics/resonance.h"

#include <string>
#include <vector>

namespace bellhand::cli {

/// The bore's answer along the frequency axis.
struct BoreCurve {
    double f_hz = 0.0;
    horn::acoustics::Response response;
};

/// From `lowest_hz` to `highest_hz` in even steps.
[[nodiscard]] std::vector<BoreCurve>
bore_curve(const horn::acoustics::Line& line, double lowest_hz, double highest_hz, int points);

/// |Z| over rho c / S against frequency, peaks marked with their number: one SVG drawing, black on white.
[[nodiscard]] std::string impedance_svg(const std::vector<BoreCurve>& curve,
                                        const std::vector<horn::acoustics::Resonance>& peaks,
                                        double characteristic_pa_s_m3,
                                        const std::string& title);

} // namespace bellhand::cli
