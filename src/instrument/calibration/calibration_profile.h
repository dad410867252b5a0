#pragma once

#include "instrument/calibration/calibration.h"
#include "instrument/calibration/calibration_closing.h"
#include "instrument/calibration/calibration_tube.h"
#include "instrument/profile.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace bellhand::instrument {

/// How the horn was put together while it was played.
struct PlayedAssembly {
    std::vector<std::string> pieces; ///< crook first
    double slide_pull_m = 0.0;
    double temperature_c = 20.0;
    std::optional<horn::Crook> crook; ///< what it plays as, for the A4 that suits
};

/// The findings in the form a profile keeps: partials that were played, landings with the partial they were measured on,
/// and five points of each measured fall (closure taken as the share of an even closing movement). A drift that the
/// notes did not tell (standard deviation above 1 cent a minute) is left out.
[[nodiscard]] AssemblyCalibration assembly_calibration(const PlayedAssembly& played,
                                                       const PlayedCalibration& open,
                                                       std::span<const MeasuredClosing> closings);

/// Adds the landing and five points of the fall of one slow closing.
void add_closing(AssemblyCalibration& assembly, const MeasuredClosing& closing);

/// Holds the notes against what the rest of the profile says of these pieces. Errors (usage): pieces that cannot be
/// mounted together; (failure): the notes stand four stated deviations and 30 cents or more away; the sentence names the
/// crook that they fit instead, if one does. Nothing is refused where the profile knows the pieces only by name.
[[nodiscard]] Result<void> check_it_was_played(const Profile& profile,
                                               const PlayedAssembly& played,
                                               const PlayedCalibration& open);

/// Puts the findings into the profile in place of older ones on the same pieces and slide (closer than 0.5 mm); partials,
/// landings and falls that were not measured anew are kept from there.
void store_calibration(Profile& profile, AssemblyCalibration found);

/// Calibrated assemblies whose crooks, couplers and bits all have a tape length: what `fit_tube` needs.
[[nodiscard]] std::vector<MeasuredCrook> measured_crooks(const Profile& profile);

/// Tape length over acoustic length of added tube, from the fit, between the shortest and the longest measured tube.
/// Empty when the tubes span less than 0.3 m.
[[nodiscard]] std::optional<double> fitted_tube_factor(const FittedTube& fit,
                                                       std::span<const MeasuredCrook> crooks);

} // namespace bellhand::instrument
