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

/// How likely a pitch is, per cent of pitch, when the step was tried and came out: in tune, or badly.
[[nodiscard]] double right_density(const Asked& asked, double f0_hz) noexcept;

/// The same when another note came out: a slip of lips or hand to a known place, rather a near one; another note of the
/// scale, rather a near one; anything.
[[nodiscard]] double wrong_density(const Asked& asked, double f0_hz) noexcept;

/// The same for a note too many, before the step.
[[nodiscard]] double extra_density(const Asked& asked, double f0_hz) noexcept;

/// The same where nothing is asked.
[[nodiscard]] double any_density() noexcept;

} // namespace bellhand::drill
