#pragma once

#include "instrument/profile.h"

namespace bellhand::instrument {

/// A whole horn, tape over acoustic length. Published chart for A = 435: 0.937 to 0.940 for every crook (Grove,
/// Dictionary of Music and Musicians, 5th ed. 1954, as quoted by hornmatters.com, 2023); the crook table of
/// Encyclopaedia Britannica, 11th ed. (1911), vol. 13, "Horn", follows the same figure. It holds the bell's end
/// correction, the mouthpiece and the slower wave in narrow tube.
inline constexpr double kHornTapeOverAcoustic = 0.938;

/// What the same 1911 table leaves for tuning slide and mouthpiece beyond body and crook: 5 in (fit, computed).
inline constexpr double kMouthpieceAllowance_m = 0.127;

/// Speed of sound in the horn, m/s (Cramer 1993).
[[nodiscard]] double speed_of_sound_m_s(const AirInHorn& air) noexcept;

/// Acoustic length of a complete-harmonic tube, c/(2 f1), in metres. `f1_hz` positive.
[[nodiscard]] double acoustic_length_m(double f1_hz, double speed_m_s) noexcept;
/// The other way: f1 of a tube of this acoustic length.
[[nodiscard]] double f1_of_length_hz(double acoustic_m, double speed_m_s) noexcept;

/// Tape length of tube that brings f1 down from one frequency to another: factor (c/2)(1/f1' - 1/f1), metres.
/// `tube_factor`: phase velocity in that tube over speed of sound; 1 gives the acoustic length.
[[nodiscard]] double added_tube_m(double f1_from_hz,
                                  double f1_to_hz,
                                  double speed_m_s,
                                  double tube_factor = 1.0) noexcept;

/// How far a horn of acoustic length `length_m` falls when `added_m` of acoustic length is put in, cents, positive.
/// The same piece is a different interval on every crook.
[[nodiscard]] double fall_cents(double length_m, double added_m) noexcept;

/// Phase velocity over speed of sound in a narrow round tube: 1/(1 + 1.045/r_v), Keefe, J. Acoust. Soc. Am. 75, 58
/// (1984). `bore_radius_m` and `f_hz` positive.
[[nodiscard]] double
phase_velocity_factor(double bore_radius_m, double f_hz, double temperature_c) noexcept;

/// The factor by which a profile's tape lengths are read: what calibration fitted, else `phase_velocity_factor` in its
/// bore at 175 Hz (written C4 on F, where crooks are usually tuned).
[[nodiscard]] double tube_factor_of(const Profile& profile) noexcept;

} // namespace bellhand::instrument
