#pragma once

#include "horn/acoustics/air.h"

#include <complex>

namespace bellhand::horn::acoustics {

/// How friction and heat at the wall are reckoned.
enum class Losses {
    none, ///< closed forms only
    series, ///< Keefe's large-tube series: the fast form, good for boundary-layer numbers above about 10
    exact, ///< Zwikker & Kosten with Bessel functions, any radius
};

/// Round tube at one frequency, time factor exp(+j omega t).
struct Propagation {
    std::complex<double> gamma_per_m; ///< attenuation + j phase per metre
    std::complex<double>
        specific_impedance; ///< characteristic impedance times area, Pa s/m; rho c without losses
};

/// Boundary-layer number r_v = a sqrt(rho omega / eta).
[[nodiscard]] double viscous_number(double radius_m, double f_hz, const Air& air) noexcept;

/// Propagation constant and characteristic impedance of a round tube. `radius_m` and `f_hz` positive.
///
/// Sources: exact, Zwikker & Kosten, Sound Absorbing Materials (1949), in the form Z' = j omega rho / (S (1 - F(k_v a))),
/// Y' = j omega S / (rho c^2) (1 + (gamma - 1) F(k_t a)); series, Keefe, J. Acoust. Soc. Am. 75, 58 (1984).
[[nodiscard]] Propagation
propagation(double radius_m, double f_hz, const Air& air, Losses losses) noexcept;

} // namespace bellhand::horn::acoustics
