#pragma once

#include <cstdint>
#include <string>
#include <vector>

// Do the stated deviations hold? Horns and players whose truth is known are measured as people measure, the profile is
// settled, and what it says of stacks that were never played is held against the truth. The generator shares neither
// code nor prior with the estimator: its own speed of sound, offsets that follow a wavy curve over frequency, aims with
// heavy tails, spreads drawn anew for every horn, tapes with uniform errors.
namespace bellhand::test {

/// How a horn was measured.
enum class Measured {
    one_note,  ///< every partial played once
    repeats,   ///< every partial played two to five times
    tape_only, ///< nothing played
    one_wrong, ///< one of the readings is another note or has the wrong partial
};
inline constexpr Measured kAllMeasured[]{
    Measured::one_note, Measured::repeats, Measured::tape_only, Measured::one_wrong};
[[nodiscard]] const char* name_of(Measured measured);

/// What was found over many horns, or many stacks of them.
struct Coverage {
    int judged = 0;
    int within_two = 0; ///< two stated deviations
    int beyond_three = 0;
    double width_cents = 0.0; ///< sum of the stated deviations
    double told_cents =
        0.0; ///< the same of an estimator that is told every variance and which reading is wrong
    double error_cents = 0.0; ///< sum of the absolute errors
    int told_within_two = 0;

    void add(double error_cents, double sd_cents, double told_error_cents, double told_sd_cents);
    void add(const Coverage& other);
    [[nodiscard]] double share() const { return static_cast<double>(within_two) / judged; }
};

/// Settles `horns` random profiles and judges six random stacks of each.
[[nodiscard]] Coverage profile_coverage(Measured measured, int horns, std::uint64_t seed);

/// What calibration by playing states, against the truth.
struct CalibrationCoverage {
    Coverage f1;
    Coverage offsets; ///< of the partials that were played
    int refused = 0;
};

/// Calibrates `horns` random horns from a dozen open notes each (no `tape_only`).
[[nodiscard]] CalibrationCoverage
calibration_coverage(Measured measured, int horns, std::uint64_t seed);

} // namespace bellhand::test
