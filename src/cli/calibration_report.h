#pragma once

#include "horn/tuning.h"
#include "instrument/calibration/calibration_profile.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::cli {

/// What the slow closings gave.
struct Closings {
    std::vector<instrument::MeasuredClosing> measured;
    std::vector<std::string> refused; ///< a sentence each
};

/// One row for everything found: what, partial, value, sd_cents, notes. Values are cents unless the name says otherwise.
[[nodiscard]] std::vector<std::vector<std::string>>
finding_rows(const instrument::PlayedCalibration& open,
             const Closings& closings,
             std::optional<double> a4_hz);

/// The findings in sentences, with each measured fall drawn. `places`: where each note was played, for people.
[[nodiscard]] std::string calibration_text(const instrument::PlayedCalibration& open,
                                           const std::vector<instrument::PlayedPitch>& notes,
                                           const std::vector<std::string>& places,
                                           const Closings& closings,
                                           const std::optional<horn::Tuning>& tuning,
                                           double temperature_c);

/// What the calibrated crooks of a profile say about each other and about the ones not yet played.
[[nodiscard]] std::string prediction_text(const instrument::Profile& profile,
                                          const instrument::FittedTube& fit,
                                          double temperature_c);

} // namespace bellhand::cli
