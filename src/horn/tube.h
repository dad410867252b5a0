#pragma once

#include "horn/tuning.h"

#include <optional>
#include <vector>

namespace bellhand::horn {

/// A name for a sounding tube: a crook at a pitch of the day.
struct TubeName {
    Tuning tuning;
    double off_cents = 0.0; ///< the tube against f1 of that crook
};

/// The crook nearest to a tube of this fundamental, at the pitch that is set. Pitch and crook trade off (E flat at 440 is E
/// at 415 within 1.3 cents), so a name always assumes a pitch.
[[nodiscard]] TubeName tube_name(double f1_hz, const Tuning& set) noexcept;

/// Other names for it within 25 cents: any crook at 415, 430, 440 or 443 Hz (common practice, no source), nearest first,
/// at most `most`; without `given` and without that crook at nearly its pitch.
[[nodiscard]] std::vector<TubeName>
other_tube_names(double f1_hz, const Tuning& given, std::size_t most = 2);

/// A4 at which a horn that lies `off_cents` above `a4_hz` would be in tune: a usual pitch within 4 cents, else a whole
/// number of Hz; 380 to 470.
[[nodiscard]] double suiting_pitch_hz(double a4_hz, double off_cents) noexcept;

/// How far the tuning slide must come out (positive) or go in, in millimetres, for a horn that lies `off_cents` above where
/// `f1_hz` would have it: tape length (c/2)(1/f1 - 1/f1') of tube, shared by the slide's two legs. Air at 25 degrees C
/// (c = 347 m/s: Cramer 1993), wave in narrow tube 3 % slower (Keefe 1984).
[[nodiscard]] double slide_out_mm(double f1_hz, double off_cents) noexcept;

} // namespace bellhand::horn
