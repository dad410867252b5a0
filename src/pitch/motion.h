#pragma once

#include <span>

namespace bellhand::pitch {

/// One reading of a pitch curve: an instant and where the pitch was, in cents above any fixed pitch.
struct PitchPoint {
    double time_s = 0.0;
    double cents = 0.0;
    double sd_cents = 0.0; ///< 0: as sure as the others
};

/// How a held note moved: slow drift, regular vibrato, and what is left as wobble.
struct PitchMotion {
    bool known = false; ///< false: too short to tell (under a quarter of a second or 12 readings)
    double mean_cents = 0.0;
    double drift_cents = 0.0; ///< from beginning to end along the line of best fit
    bool vibrato = false;     ///< a regular wave of 3.5 to 9 Hz stands out
    double vibrato_hz = 0.0;
    double vibrato_cents = 0.0; ///< extent to either side of the mean
    double wobble_cents =
        0.0; ///< standard deviation of the rest, less what the readings' own deviations explain
};

/// Separates the three over one note (judged readings in order of time, any spacing).
///
/// Least squares of a line and one sine wave whose frequency is searched (Lomb 1976 with a floating line), then the rest.
/// A wave counts as vibrato when at least two periods fit into the note, it is wider than 4 cents to either side and it
/// takes away half of the variance that the line left.
[[nodiscard]] PitchMotion pitch_motion(std::span<const PitchPoint> points) noexcept;

} // namespace bellhand::pitch
