#pragma once

namespace bellhand::horn::acoustics {

inline constexpr double kZeroCelsius_k = 273.15;
inline constexpr double kStandardPressure_pa = 101325.0;

/// State of the air, as a player or a weather station would give it.
struct AirState {
    double temperature_c = 20.0;
    double relative_humidity = 0.5; ///< 0 dry .. 1 saturated
    double co2_mole_fraction = 0.0004;
    double pressure_pa = kStandardPressure_pa;
};

/// What the transmission line needs to know of the air, SI units.
struct Air {
    double temperature_c = 0.0;
    double density_kg_m3 = 0.0;
    double viscosity_pa_s = 0.0;
    double heat_ratio = 0.0;   ///< gamma, ratio of specific heats
    double sqrt_prandtl = 0.0; ///< thermal over viscous boundary-layer number
    double speed_m_s = 0.0;
};

/// Saturation pressure of water vapour in Pa (Davis 1992, as used in Cramer's appendix). 0 to 30 degrees C.
[[nodiscard]] double saturation_vapour_pressure_pa(double temperature_c) noexcept;

/// Mole fraction of water vapour (Cramer 1993, appendix).
[[nodiscard]] double water_mole_fraction(const AirState& state) noexcept;

/// Speed of sound in m/s: polynomial of Cramer, J. Acoust. Soc. Am. 93, 2510 (1993). Fitted for 0 to 30 degrees C,
/// 75 to 102 kPa, water up to 0.06 and carbon dioxide up to 0.01 mole fraction; beyond that it extrapolates smoothly.
[[nodiscard]] double speed_of_sound_m_s(const AirState& state) noexcept;

/// Constants of Keefe, J. Acoust. Soc. Am. 75, 58 (1984), linear around 26.85 degrees C, with his own speed of sound.
[[nodiscard]] Air keefe_air(double temperature_c) noexcept;

/// Keefe's constants with Cramer's speed of sound, for air of a stated humidity and carbon dioxide content.
[[nodiscard]] Air humid_air(const AirState& state) noexcept;

/// How many cents an air column rises per degree C when its pitch goes with the square root of the absolute
/// temperature: 600 log2((T + 1) / T).
[[nodiscard]] double cents_per_degree(double temperature_c) noexcept;

/// Rise in cents of an air column warmed from one temperature to another, square-root law, same gas.
[[nodiscard]] double warming_cents(double from_c, double to_c) noexcept;

} // namespace bellhand::horn::acoustics
