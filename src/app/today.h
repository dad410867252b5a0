#pragma once

#include "core/result.h"
#include "skill/plan.h"

#include <filesystem>

namespace bellhand::app {

/// The plan of the day from a log, and what it was made from.
struct Today {
    skill::Skills skills;
    skill::DayPlan plan;
};

/// Reads the log and plans. `wishes.now_s` 0 = the computer's clock. Errors: the log cannot be read.
[[nodiscard]] Result<Today> today(const std::filesystem::path& log, skill::PlanWishes wishes);

} // namespace bellhand::app
