#include "horn/acoustics/bessel.h"

#include <array>
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

constexpr std::size_t kTerms = 18;

/// Coefficients of the quotient of Hankel's two series, nu = 1 over nu = 0, in powers of +-j/z. Series of a_k(nu) =
/// prod (4 nu^2 - (2i - 1)^2) / (8 i); divided term by term.
constexpr std::array<double, kTerms> quotient_coefficients() {
    std::array<double, kTerms> upper{1.0};
    std::array<double, kTerms> lower{1.0};
    for (std::size_t k = 1; k < kTerms; ++k) {
        const double odd = 2.0 * static_cast<double>(k) - 1.0;
        upper[k] = upper[k - 1] * (4.0 - odd * odd) / (8.0 * static_cast<double>(k));
        lower[k] = lower[k - 1] * (-odd * odd) / (8.0 * static_cast<double>(k));
    }
    std::array<double, kTerms> quotient{};
    for (std::size_t k = 0; k < kTerms; ++k) {
        quotient[k] = upper[k];
        for (std::size_t i = 0; i < k; ++i) {
            quotient[k] -= quotient[i] * lower[k - i];
        }
    }
    return quotient;
}
constexpr std::array<double, kTerms> kQuotient = quotient_coefficients();

/// The quotient at `step` = +-j/z; far out few terms are enough.
Complex hankel_quotient(Complex step) noexcept {
    const double size = std::norm(step);
    const std::size_t terms = size < 1.0 / (80.0 * 80.0)   ? 8
                              : size < 1.0 / (40.0 * 40.0) ? 12
                                                           : kTerms;
    Complex sum = kQuotient[terms - 1];
    for (std::size_t k = terms - 1; k-- > 0;) {
        sum = times(sum, step) + kQuotient[k];
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
    const Complex ratio = times(-jw, hankel_quotient(over(jw, w)));
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
