#pragma once

#include "logbook/records.h"

#include <cstdint>
#include <optional>
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

/// What the comment of a mark begins with.
inline constexpr const char* kMarked = "Marked: ";

/// A note that is marked in a lesson, or no longer is. Put once more it changes nothing.
struct MarkRecord {
    double at_s = 0.0;                 ///< where it begins, in the session
    std::optional<std::uint32_t> note; ///< index in the session; empty: of the other side of a call
    std::string words;                 ///< empty: its mark was taken away
};

/// What a run or a lesson gives the log, in order.
using Record = std::variant<logbook::BlockRecord, StepRecord, MarkRecord>;

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
