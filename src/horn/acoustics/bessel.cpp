#include "horn/acoustics/bessel.h"

#include <cmath>
#include <numbers>

namespace bellhand::horn::acoustics {

namespace {

using Complex = std::complex<double>;

constexpr double kAsymptoticFrom = 25.0;
constexpr double kAsymptoticOffAxis = 18.0; // exp(-2 * 18) is below the last bit of a double

// std::complex guards every product and quotient against NaN; these values are finite.
Complex times(Complex x, Complex y) noexcept {
    return {x.real() * y.real() - x.imag() * y.imag(), x.real() * y.imag() + x.imag() * y.real()};
}

Complex over(Complex x, Complex y) noexcept {
    const double scale = 1.0 / std::norm(y);
    return {(x.real() * y.real() + x.imag() * y.imag()) * scale,
            (x.imag() * y.real() - x.real() * y.imag()) * scale};
}

/// J1/J0 = (z/2) / (1 - q/(1*2) / (1 - q/(2*3) / (1 - ...))), q = z^2/4. The terms die once n(n+1) > |q|.
Complex by_continued_fraction(Complex z) noexcept {
    const Complex q = times(z, z) / 4.0;
    const int terms = 16 + static_cast<int>(1.3 * std::abs(z));
    Complex tail = 1.0;
    for (int n = terms; n >= 1; --n) {
        tail = 1.0 - over(q / (static_cast<double>(n) * (n + 1)), tail);
    }
    return over(z / 2.0, tail);
}

/// Sum of a_k(nu) step^k, step = +-j/z, until the terms are lost in rounding or begin to grow.
Complex hankel_sum(double nu, Complex step) noexcept {
    Complex term = 1.0;
    Complex sum = 1.0;
    double last = 1.0;
    for (int k = 1; k < 60; ++k) {
        const double odd = 2.0 * k - 1.0;
        term = times(term, step) * ((4.0 * nu * nu - odd * odd) / (8.0 * k));
        const double size = std::norm(term);
        if (size > last || size < 1e-34) {
            break;
        }
        sum += term;
        last = size;
    }
    return sum;
}

} // namespace

std::complex<double> bessel_j1_over_j0(std::complex<double> z) noexcept {
    if (std::abs(z) < kAsymptoticFrom || std::abs(z.imag()) < kAsymptoticOffAxis) {
        return by_continued_fraction(z);
    }
    // Below the real axis the first Hankel function grows and carries J, above it the second.
    const Complex j(0.0, z.imag() < 0.0 ? 1.0 : -1.0);
    // J is even and odd in z: the series wants the right half-plane.
    const bool left = z.real() < 0.0;
    const Complex w = left ? -z : z;
    const Complex jw = left ? -j : j;
    const Complex step = over(jw, w);
    const Complex ratio = times(-jw, over(hankel_sum(1.0, step), hankel_sum(0.0, step)));
    return left ? -ratio : ratio;
}

std::complex<double> boundary_layer_function(double r) noexcept {
    if (r == 0.0) {
        return 1.0;
    }
    const Complex z = std::polar(std::abs(r), -std::numbers::pi / 4.0);
    return over(2.0 * bessel_j1_over_j0(z), z);
}

} // namespace bellhand::horn::acoustics
