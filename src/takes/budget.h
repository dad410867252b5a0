#pragma once

#include "core/result.h"
#include "logbook/records.h"

#include <cstdint>
#include <set>
#include <span>
#include <string>
#include <vector>

namespace bellhand::logbook {
class Logbook;
} // namespace bellhand::logbook

namespace bellhand::takes {

/// Room for takes until the player says otherwise: some eight hours of practice.
inline constexpr std::int64_t kUsualBudget_bytes = 2'000'000'000;
inline constexpr std::int64_t kLeastBudget_bytes = 50'000'000;
/// From here on the takes that will go are named.
inline constexpr double kNoticeShare = 0.9;

/// Which takes would leave so that the rest fits into a budget.
struct Clearing {
    std::int64_t used_bytes = 0;
    std::int64_t budget_bytes = 0;
    std::vector<logbook::TakeRecord> leaving; ///< oldest first
    std::int64_t leaving_bytes = 0;
    bool enough = true; ///< false: what is kept is more than the budget already
};

/// Oldest first, never one that is marked kept and never one whose id is in `protected_ids` (unreturned homework).
/// `takes` oldest first, as the log gives them; `used_bytes` may be more than their sum (takes in the bin count too).
[[nodiscard]] Clearing plan_clearing(std::span<const logbook::TakeRecord> takes,
                                     const std::set<std::int64_t>& protected_ids,
                                     std::int64_t used_bytes,
                                     std::int64_t budget_bytes);

/// Takes of blocks that belong to a homework which was not returned yet.
[[nodiscard]] Result<std::set<std::int64_t>> homework_takes(logbook::Logbook& book);

/// The player's budget, kept in the log. Errors (usage): under `kLeastBudget_bytes`.
[[nodiscard]] Result<std::int64_t> budget(logbook::Logbook& book);
[[nodiscard]] Result<void> set_budget(logbook::Logbook& book, std::int64_t bytes);

/// Keeps the takes within the budget and says so beforehand. From nine tenths of it on the takes that will go are
/// named (and remembered in the log as named); a take is removed only when the budget is exceeded and it was named at
/// an earlier call. Gives the sentence for the player, empty when there is nothing to say. Call at the start of a session.
[[nodiscard]] Result<std::string> keep_within_budget(logbook::Logbook& book);

/// Marks a take as kept, or no longer. Errors (usage): there is none of that id.
[[nodiscard]] Result<void> set_kept(logbook::Logbook& book, std::int64_t take, bool kept);

} // namespace bellhand::takes
