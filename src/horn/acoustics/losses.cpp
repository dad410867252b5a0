#include "horn/acoustics/losses.h"

#include "horn/acoustics/bessel.h"

#include <cmath>
#include <numbers>

namespace bellhand::horn::acoustics {

namespace {

using Complex = std::complex<double>;

Propagation without_losses(double omega, const Air& air) noexcept {
    return {{0.0, omega / air.speed_m_s}, air.density_kg_m3 * air.speed_m_s};
}

Propagation by_series(double r_v, double omega, const Air& air) noexcept {
    const double inverse = 1.0 / r_v;
    const double k = omega / air.speed_m_s;
    const double alpha = k * inverse * (1.045 + inverse * (1.080 + inverse * 0.750));
    const double beta = k * (1.0 + 1.045 * inverse);
    const double rho_c = air.density_kg_m3 * air.speed_m_s;
    return {{alpha, beta}, {rho_c * (1.0 + 0.369 * inverse), -rho_c * 0.369 * inverse}};
}

Propagation by_bessel(double r_v, double omega, const Air& air) noexcept {
    const Complex viscous = 1.0 / (1.0 - boundary_layer_function(r_v));
    const Complex thermal =
        1.0 + (air.heat_ratio - 1.0) * boundary_layer_function(air.sqrt_prandtl * r_v);
    const Complex mean = std::sqrt(viscous * thermal);
    const Complex j(0.0, 1.0);
    return {j * (omega / air.speed_m_s) * mean, air.density_kg_m3 * air.speed_m_s * viscous / mean};
}

} // namespace

double viscous_number(double radius_m, double f_hz, const Air& air) noexcept {
    return radius_m *
           std::sqrt(air.density_kg_m3 * 2.0 * std::numbers::pi * f_hz / air.viscosity_pa_s);
}

Propagation propagation(double radius_m, double f_hz, const Air& air, Losses losses) noexcept {
    const double omega = 2.0 * std::numbers::pi * f_hz;
    switch (losses) {
    case Losses::none:
        return without_losses(omega, air);
    case Losses::series:
        return by_series(viscous_number(radius_m, f_hz, air), omega, air);
    case Losses::exact:
        break;
    }
    return by_bessel(viscous_number(radius_m, f_hz, air), omega, air);
}

} // namespace bellhand::horn::acoustics
