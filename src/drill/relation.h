#pragma once

#include "drill/plan.h"

namespace bellhand::drill {

/// What a sound is to what was asked, by its pitch alone.
enum class Relation {
    right,         ///< the note, in tune or not
    other_partial, ///< the lips landed on another partial, the hand where it should be
    other_hand,    ///< the right partial under another hand position
    other_note,
};

/// A note within a quarter-tone is the one that was asked, out of tune, unless another partial or another hand explains
/// it clearly better. Trills and closings: anything between their two pitches.
[[nodiscard]] Relation relation_of(const Asked& asked, double f0_hz) noexcept;

/// How likely this pitch is when the step was tried, per cent of pitch: a mixture of the note itself, slips of lips and
/// hand, and anything else.
[[nodiscard]] double density_of(const Asked& asked, double f0_hz) noexcept;

/// The same for a note that belongs to no step: any pitch of four octaves alike.
inline constexpr double kAnyPitch_per_cent = 1.0 / 4800.0;

} // namespace bellhand::drill
