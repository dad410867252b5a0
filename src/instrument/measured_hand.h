#pragma once

#include "core/result.h"
#include "horn/hand_response.h"
#include "instrument/profile.h"

namespace bellhand::instrument {

/// How far the measured f1 may lie from the crook's nominal one and still be the same horn, slide moved: 80 cents.
inline constexpr double kSameHorn_cents = 80.0;

/// The assembly with a measured f1 nearest to this crook and pitch, at most `kSameHorn_cents` away; null when none is.
[[nodiscard]] const AssemblyCalibration* calibrated_near(const Profile& profile,
                                                         const horn::Tuning& tuning) noexcept;

/// The player's own hand on this crook and pitch, from the calibration in the profile: of the assemblies with a measured
/// f1 the nearest one, at most `kSameHorn_cents` away (the slide is taken to bring it home). Measured open partials,
/// full stops and closing points replace those of `otherwise`; degrees that were not measured on a partial keep their
/// share of its full fall. Errors (failure): no calibration near this crook and pitch.
[[nodiscard]] Result<horn::HandResponse> measured_hand_response(
    const Profile& profile, const horn::Tuning& tuning, const horn::HandResponse& otherwise);

} // namespace bellhand::instrument
