#pragma once

#include <complex>

namespace bellhand::horn::acoustics {

/// What the open end looks into.
enum class OpenEnd {
    ideal,     ///< no pressure at the end: closed forms only
    unflanged, ///< thin-walled end in free space
    flanged,   ///< end in a large wall
};

/// Reflection at an open end without flow: modulus and end correction over radius, from
/// Silva, Guillemain, Kergomard, Mallaroni & Norris, J. Sound Vib. 322, 255 (2009), non-causal fit.
/// Against the integral of Levine & Schwinger (1948) the unflanged fit is within 0.003 in |R| and 0.011 in length up
/// to ka 3.5; beyond that nothing is claimed, |R| stays between 0 and 1.
struct Reflection {
    double modulus = 1.0;
    double end_correction_over_radius = 0.0;
};
[[nodiscard]] Reflection open_end_reflection(double ka, OpenEnd end) noexcept;

/// Radiation impedance divided by rho c / S: (1 + R)/(1 - R), R = -|R| exp(-2 j ka (l/a)). Zero for an ideal end.
[[nodiscard]] std::complex<double> radiation_over_characteristic(double ka, OpenEnd end) noexcept;

} // namespace bellhand::horn::acoustics
