#pragma once

#include "logbook/balances.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace bellhand::progress {

/// Long tones of one week: how quietly the horn stayed.
struct BalanceWeek {
    std::int64_t monday = 0; ///< days since 1970-01-01
    int tones = 0;
    double wobble_cents = 0.0; ///< median of the tones
    int told = 0;              ///< changes of the hand slow enough for a jolt to be told
    int jolts = 0;             ///< of these, with a jolt
};

/// The weeks that have tones, oldest first.
[[nodiscard]] std::vector<BalanceWeek>
balance_weeks(const std::vector<logbook::BalanceRecord>& records);

/// Wobble of this player's own quiet long tones, on which the hand did not move: the median of the newest twenty. Empty before
/// the third.
[[nodiscard]] std::optional<double>
quiet_wobble(const std::vector<logbook::BalanceRecord>& records);

} // namespace bellhand::progress
