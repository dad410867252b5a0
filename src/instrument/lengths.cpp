#include "instrument/lengths.h"

#include "core/cents.h"
#include "horn/acoustics/air.h"
#include "horn/acoustics/losses.h"

#include <cmath>

namespace bellhand::instrument {

double speed_of_sound_m_s(const AirInHorn& air) noexcept {
    horn::acoustics::AirState state;
    state.temperature_c = air.temperature_c;
    state.relative_humidity = air.relative_humidity;
    return horn::acoustics::speed_of_sound_m_s(state);
}

double acoustic_length_m(double f1_hz, double speed_m_s) noexcept {
    return speed_m_s / (2.0 * f1_hz);
}

double f1_of_length_hz(double acoustic_m, double speed_m_s) noexcept {
    return speed_m_s / (2.0 * acoustic_m);
}

double
added_tube_m(double f1_from_hz, double f1_to_hz, double speed_m_s, double tube_factor) noexcept {
    return tube_factor * 0.5 * speed_m_s * (1.0 / f1_to_hz - 1.0 / f1_from_hz);
}

double fall_cents(double length_m, double added_m) noexcept {
    return cents_between(length_m + added_m, length_m);
}

double phase_velocity_factor(double bore_radius_m, double f_hz, double temperature_c) noexcept {
    const double r_v = horn::acoustics::viscous_number(
        bore_radius_m, f_hz, horn::acoustics::keefe_air(temperature_c));
    return 1.0 / (1.0 + 1.045 / r_v);
}

double tube_factor_of(const Profile& profile) noexcept {
    if (profile.calibration && profile.calibration->tube_factor) {
        return *profile.calibration->tube_factor;
    }
    return phase_velocity_factor(profile.bore_radius_m, 175.0, profile.air.temperature_c);
}

} // namespace bellhand::instrument
