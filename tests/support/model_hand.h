#pragma once

#include "core/result.h"
#include "horn/acoustics/natural_horn.h"
#include "horn/hand_response.h"
#include "horn/tuning.h"

namespace bellhand::test {

/// Hand response of an invented horn on this crook and pitch, computed from its bore: open partials with the hand in
/// playing position, falls at the five degrees, hand out; partial 1 stays at f1. Not measured data. Errors as
/// `crook_length_for_m`.
[[nodiscard]] Result<horn::HandResponse>
model_hand_response(const horn::Tuning& tuning,
                    const horn::acoustics::Air& air,
                    const horn::acoustics::HornShape& shape = {},
                    const horn::acoustics::HandHabit& habit = {});

/// The hand of the program's table as if calibration had found it so, without doubt; to go with `calibrated_trust`.
[[nodiscard]] horn::HandResponse known_hand(const horn::Tuning& tuning);

/// The fall of a partial (3 and up) to its full stop when the hand takes a constant length of tube away, 0.221 m, chosen
/// so that a full stop on the crook of F at A4 = 440 sounds a semitone above the partial below, as it is taught (computed,
/// 1200 log2(L / (L - 0.221)), L = c / (2 f1), c = 343.4 m/s). Never positive.
[[nodiscard]] double taught_full_fall_cents(int partial, double f1_hz) noexcept;

/// What the program's table holds at one f1: the falls of the invented horn in air of 20 degrees C, half humid, open
/// partials on n * f1 (those of an invented bore say nothing about a player's), and how surely. The doubt is one standard
/// deviation over a family of horns and hands: gap 12 % wider or narrower, open hand 26 or 36 mm, hand 80 or 130 mm
/// inside the rim, 50 or 120 mm long, exponent of the bell 0.75 or 1, rim 130 or 150 mm, tube 8 % narrower or 3 % wider
/// with its cones; half the difference of each pair, added as squares. The widths are a choice, made so that no model at
/// hand lies further than one deviation from this one; for the full stop the doubt also reaches what players are taught,
/// `taught_full_fall_cents`. A horn too high for the body's 7 ft 4 in gets a shorter body.
[[nodiscard]] Result<horn::HandResponse> model_family(double f1_hz);

} // namespace bellhand::test
