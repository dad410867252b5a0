#include "horn/acoustics/air.h"

#include <cmath>

namespace bellhand::horn::acoustics {

double saturation_vapour_pressure_pa(double temperature_c) noexcept {
    const double t = temperature_c + kZeroCelsius_k;
    return std::exp(1.2811805e-5 * t * t - 1.9509874e-2 * t + 34.04926034 - 6.3536311e3 / t);
}

double water_mole_fraction(const AirState& state) noexcept {
    const double enhancement =
        1.00062 + 3.14e-8 * state.pressure_pa + 5.6e-7 * state.temperature_c * state.temperature_c;
    return state.relative_humidity * enhancement *
           saturation_vapour_pressure_pa(state.temperature_c) / state.pressure_pa;
}

double speed_of_sound_m_s(const AirState& state) noexcept {
    const double t = state.temperature_c;
    const double p = state.pressure_pa;
    const double w = water_mole_fraction(state);
    const double c = state.co2_mole_fraction;
    return 331.5024 + 0.603055 * t - 0.000528 * t * t +
           (51.471935 + 0.1495874 * t - 0.000782 * t * t) * w +
           (-1.82e-7 + 3.73e-8 * t - 2.93e-10 * t * t) * p +
           (-85.20931 - 0.228525 * t + 5.91e-5 * t * t) * c - 2.835149 * w * w - 2.15e-13 * p * p +
           29.179762 * c * c + 0.000486 * w * p * c;
}

Air keefe_air(double temperature_c) noexcept {
    const double dt = temperature_c - 26.85;
    return {temperature_c,
            1.1769 * (1.0 - 0.00335 * dt),
            1.846e-5 * (1.0 + 0.0025 * dt),
            1.4017 * (1.0 - 0.00002 * dt),
            0.8410 * (1.0 - 0.0002 * dt),
            347.23 * (1.0 + 0.00166 * dt)};
}

Air humid_air(const AirState& state) noexcept {
    Air air = keefe_air(state.temperature_c);
    air.speed_m_s = speed_of_sound_m_s(state);
    return air;
}

double cents_per_degree(double temperature_c) noexcept {
    return warming_cents(temperature_c, temperature_c + 1.0);
}

double warming_cents(double from_c, double to_c) noexcept {
    return 600.0 * std::log2((to_c + kZeroCelsius_k) / (from_c + kZeroCelsius_k));
}

} // namespace bellhand::horn::acoustics
