#pragma once

#include "hand/hand_ear.h"
#include "logbook/sqlite.h"

namespace bellhand::logbook {

/// The columns of `note` that tell what was heard of the hand, in the order of `bind_heard` and `heard_from`.
inline constexpr const char* kHeardColumns =
    "heard_hand, closure, closure_low, closure_high, hand_confidence, advice, hand_cents, "
    "lips_cents, "
    "advice_confidence, match_loudness_db, match_octaves, uneven_db, unsteady_cents, "
    "drift_cents_per_s, tremor_cents, tremor_hz, sway";

/// Null for what was not heard.
void bind_heard(Statement& statement, const hand::NoteHand& heard);

/// From the row's columns `first` on.
[[nodiscard]] hand::NoteHand heard_from(const Statement& row, int first);

/// "hand-closed", "lips-low", ...: column `advice` and the exported files.
[[nodiscard]] const char* advice_id(hand::AdviceKind kind) noexcept;
/// "none", "hand", "lips", "breath".
[[nodiscard]] const char* sway_id(hand::Sway sway) noexcept;

} // namespace bellhand::logbook
