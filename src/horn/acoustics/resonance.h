#pragma once

#include "horn/acoustics/line.h"

#include <functional>
#include <span>
#include <vector>

namespace bellhand::horn::acoustics {

/// A maximum of |Z| at the input.
struct Resonance {
    double f_hz = 0.0;
    double magnitude_pa_s_m3 = 0.0;
    double q = 0.0; ///< f over half-power width, from the curvature at the top
};

struct PeakSearch {
    double lowest_hz = 15.0;
    double highest_hz = 800.0;
    int most = 24;
    double step_hz =
        0.0; ///< of the first look; 0 = a tenth of c / (2 L), about a ninth of the spacing of the peaks
};

/// All maxima of |Z| in the range, lowest first. The first look walks the grid and brackets each maximum, then
/// Brent's minimiser (1973: golden section with parabolas) closes in to 1e-4 Hz. A maximum whose two minima are less
/// than two steps apart can be missed.
[[nodiscard]] std::vector<Resonance> resonances(const Line& line, const PeakSearch& search = {});

/// The maximum nearest to a first guess, found by walking uphill in steps and then closing in; for a configuration that
/// differs little from a known one. Same precision.
[[nodiscard]] Resonance resonance_near(const Line& line, double guess_hz, double step_hz = 2.0);

} // namespace bellhand::horn::acoustics
