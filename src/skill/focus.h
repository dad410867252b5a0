#pragma once

#include "skill/skill.h"

#include <span>

namespace bellhand::skill {

/// Length of one time through an exercise, at its tempo, or at `kFreeQuarterS` a quarter when it has none; a step of
/// the player's own length counts as four quarters.
[[nodiscard]] double length_s(const drill::Exercise& exercise) noexcept;
inline constexpr double kFreeQuarterS = 0.9;

/// Long notes on the middle open partials, soft, swelling and fading (common practice for warming up).
[[nodiscard]] drill::Exercise warm_up(const horn::Crook& crook);

/// Keeping time with a metronome, on open notes that ask nothing else: quarters, eighths, a dotted figure, rests.
[[nodiscard]] drill::Exercise time_exercise(const horn::Crook& crook);

/// An exercise around a few items of one crook, the first of which matters most: each note between its open
/// neighbours and held, each transition there and back. The items take turns instead of one being worn out before the
/// next: changing tasks is harder while practising and lasts longer (Shea and Morgan 1979, contextual interference).
/// Free tempo. Empty steps when no item can be played.
[[nodiscard]] drill::Exercise focus_exercise(std::span<const Item> items, const horn::Crook& crook);

} // namespace bellhand::skill
