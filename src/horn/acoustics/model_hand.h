#pragma once

#include "core/result.h"
#include "horn/acoustics/natural_horn.h"
#include "horn/hand_response.h"
#include "horn/tuning.h"

namespace bellhand::horn::acoustics {

/// Hand response of the invented horn on this crook and pitch, computed from its bore: open partials with the hand in
/// playing position, falls at the five degrees, hand out; partial 1 stays at f1. Not measured data. Errors as
/// `crook_length_for_m`.
[[nodiscard]] Result<HandResponse> model_hand_response(const Tuning& tuning,
                                                       const Air& air,
                                                       const HornShape& shape = {},
                                                       const HandHabit& habit = {});

} // namespace bellhand::horn::acoustics
