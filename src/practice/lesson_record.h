#pragma once

#include "logbook/records.h"

#include <cstdint>
#include <variant>
#include <vector>

namespace bellhand::practice {

/// A judged step on its way to the log, with the skills it changed.
struct StepRecord {
    std::uint32_t block = 0; ///< number in the session
    logbook::JudgedStep step;
    std::vector<logbook::SkillRow> skills;
};

/// What a lesson gives the log, in order.
using LessonRecord = std::variant<logbook::BlockRecord, StepRecord>;

} // namespace bellhand::practice
