#pragma once

#include "horn/hand_chart.h"

namespace bellhand::trainer {

/// How far a held note may lie from its target and still count as good, in cents, plus or minus: open 5, quarter to
/// three-quarters 10, full stop 15 (common practice, no source: the hand is judged more kindly than the open horn).
[[nodiscard]] double tolerance_cents(horn::Hand hand) noexcept;

/// What a player may set: a factor on all of them.
inline constexpr double kStrictest = 0.2;
inline constexpr double kKindest = 5.0;

} // namespace bellhand::trainer
