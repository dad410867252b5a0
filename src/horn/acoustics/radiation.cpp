#include "horn/acoustics/radiation.h"

#include <algorithm>
#include <cmath>

namespace bellhand::horn::acoustics {

namespace {

struct Fit {
    double beta, eta;
    double a1, a2, a3;
    double b1, b2, b3, b4;
};

constexpr Fit kUnflanged{0.5, 0.6133, 0.800, 0.266, 0.0263, 0.0599, 0.238, -0.0153, 0.00150};
constexpr Fit kFlanged{1.0, 0.8216, 0.730, 0.372, 0.0231, 0.244, 0.723, -0.0198, 0.00366};

} // namespace

Reflection open_end_reflection(double ka, OpenEnd end) noexcept {
    if (end == OpenEnd::ideal) {
        return {};
    }
    const Fit& fit = end == OpenEnd::unflanged ? kUnflanged : kFlanged;
    const double k2 = ka * ka;
    const double modulus =
        (1.0 + fit.a1 * k2) / (1.0 + k2 * (fit.beta + fit.a1 + k2 * (fit.a2 + k2 * fit.a3)));
    const double length =
        fit.eta * (1.0 + fit.b1 * k2) / (1.0 + k2 * (fit.b2 + k2 * (fit.b3 + k2 * fit.b4)));
    return {std::clamp(modulus, 0.0, 1.0), length};
}

std::complex<double> radiation_over_characteristic(double ka, OpenEnd end) noexcept {
    if (end == OpenEnd::ideal) {
        return 0.0;
    }
    const Reflection reflection = open_end_reflection(ka, end);
    const std::complex<double> r =
        -std::polar(reflection.modulus, -2.0 * ka * reflection.end_correction_over_radius);
    return (1.0 + r) / (1.0 - r);
}

} // namespace bellhand::horn::acoustics
