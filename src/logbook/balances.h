#pragma once

#include "core/result.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::logbook {

class Logbook;

/// How quietly horn and lips stayed through one long tone.
struct BalanceRecord {
    std::int64_t session = 0; ///< set by the log
    std::int64_t day = 0;     ///< set by the log: local date, days since 1970-01-01
    std::uint32_t number = 0; ///< in the session, from 0
    double start_s = 0.0;     ///< since the start of the session
    double duration_s = 0.0;
    std::string crook;
    double wobble_cents = 0.0; ///< where the hand stood still
    double drift_cents_per_s = 0.0;
    std::uint32_t moves = 0; ///< of the hand
    std::uint32_t told = 0;  ///< of these, slow enough for a jolt to be told
    std::uint32_t jolts = 0;
    double worst_cents = 0.0; ///< of the jolts
};

/// Inserts the tone, or replaces the one of the same number. Errors (usage): no such session, a log that is no file.
[[nodiscard]] Result<void>
put_balance(Logbook& log, std::int64_t session, const BalanceRecord& balance);
/// Of all sessions that are not in the bin, oldest first.
[[nodiscard]] Result<std::vector<BalanceRecord>> balances(Logbook& log);

} // namespace bellhand::logbook
