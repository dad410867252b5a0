#pragma once

#include <complex>

namespace bellhand::horn::acoustics {

/// Ratio J1(z)/J0(z) of Bessel functions of the first kind, any complex z away from the zeros of J0; relative error
/// below 1e-12 there.
///
/// Method: continued fraction (Abramowitz & Stegun 9.1.73) summed from its tail for small |z| and near the real axis;
/// for |z| of 25 and more and at least 18 off the real axis the quotient of Hankel's asymptotic series (A&S 9.2.7),
/// where the other exponential is below the last bit.
[[nodiscard]] std::complex<double> bessel_j1_over_j0(std::complex<double> z) noexcept;

/// F(r) = 2 J1(z) / (z J0(z)) at z = r exp(-j pi/4): the boundary-layer function of a round tube, where r is the ratio
/// of the radius to the viscous (or thermal) boundary layer. F(0) = 1. Even in r.
[[nodiscard]] std::complex<double> boundary_layer_function(double r) noexcept;

} // namespace bellhand::horn::acoustics
