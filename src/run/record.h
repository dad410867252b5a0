#pragma once

#include "logbook/records.h"

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace bellhand::run {

/// A judged step on its way to the log, with the skills it changed.
struct StepRecord {
    std::uint32_t block = 0; ///< number in the session
    logbook::JudgedStep step;
    std::vector<logbook::SkillRow> skills;
};

/// What a run gives the log, in order.
using Record = std::variant<logbook::BlockRecord, StepRecord>;

/// What a run wants recorded. Times in seconds of the session.
struct TakeWish {
    enum class Kind { begin, end, keep };
    Kind kind = Kind::begin;
    double from_s = 0.0; ///< begin, keep
    double to_s = 0.0;   ///< end, keep
    std::uint32_t block = 0;
    std::string why;
    bool kept = false; ///< never removed to save room
};

} // namespace bellhand::run
