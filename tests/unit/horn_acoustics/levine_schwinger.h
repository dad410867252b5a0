#pragma once

#include <cmath>
#include <numbers>

// The integrals of Levine & Schwinger, Phys. Rev. 73, 383 (1948), for the end of an unflanged pipe, by plain quadrature
// with the standard library's Bessel functions: independent of the fit that the program uses.
namespace bellhand::testing {

namespace detail {

template <typename Function>
double midpoint_sum(const Function& f, double from, double to, int steps) {
    const double h = (to - from) / steps;
    double sum = 0.0;
    for (int i = 0; i < steps; ++i) {
        sum += f(from + (i + 0.5) * h);
    }
    return sum * h;
}

} // namespace detail

/// |R| = exp(-(2 ka / pi) int_0^ka atan(-J1/N1) / (x sqrt(ka^2 - x^2)) dx); x = ka sin(t) removes the root.
inline double exact_reflection_modulus(double ka) {
    const auto inside = [ka](double t) {
        const double x = ka * std::sin(t);
        return std::atan2(std::cyl_bessel_j(1.0, x), -std::cyl_neumann(1.0, x)) /
               x; // continuous past the zero of N1
    };
    const double integral = detail::midpoint_sum(inside, 0.0, std::numbers::pi / 2.0, 4000);
    return std::exp(-2.0 * ka / std::numbers::pi * integral);
}

/// l/a: one integral to ka, one to infinity; x = ka sinh(t) for the second, whose tail falls as log(x)/x^2.
inline double exact_end_correction(double ka) {
    const auto near = [ka](double t) {
        const double x = ka * std::sin(t);
        const double j1 = std::cyl_bessel_j(1.0, x);
        const double n1 = std::cyl_neumann(1.0, x);
        return std::log(std::numbers::pi * j1 * std::sqrt(j1 * j1 + n1 * n1)) / x;
    };
    const auto far = [ka](double t) {
        const double x = ka * std::sinh(t);
        // Above x = 20 2 I1 K1 = (1 - 3/(8 x^2) - 45/(128 x^4) ...)/x (Abramowitz & Stegun 9.7.5).
        const double product = x > 20.0
                                   ? (1.0 - 0.375 / (x * x) - 45.0 / (128.0 * x * x * x * x)) / x
                                   : 2.0 * std::cyl_bessel_i(1.0, x) * std::cyl_bessel_k(1.0, x);
        return -std::log(product) / x;
    };
    const double last = std::asinh(1e7 / ka);
    return (detail::midpoint_sum(near, 0.0, std::numbers::pi / 2.0, 4000) +
            detail::midpoint_sum(far, 0.0, last, 20000)) /
           std::numbers::pi;
}

} // namespace bellhand::testing
