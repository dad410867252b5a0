#pragma once

#include "core/result.h"

#include <cstdint>
#include <string>
#include <string_view>

namespace bellhand::progress {

/// The day of a moment (seconds since 1970) in the local calendar, in days since 1970-01-01.
[[nodiscard]] std::int64_t local_day(std::int64_t unix_s) noexcept;
/// The same of now.
[[nodiscard]] std::int64_t today() noexcept;

/// Reads "2026-03-01", "today", "yesterday". Errors (usage): anything else, a day that does not exist.
[[nodiscard]] Result<std::int64_t> parse_day(std::string_view text);

/// "2026-03-01".
[[nodiscard]] std::string iso_day(std::int64_t day);

/// "1 Mar 2026": for people, whatever their locale.
[[nodiscard]] std::string day_name(std::int64_t day);
/// "Sun 1 Mar".
[[nodiscard]] std::string short_day_name(std::int64_t day);
/// "Sun 1 Mar 2026".
[[nodiscard]] std::string long_day_name(std::int64_t day);

/// A moment of the log ("2026-03-01T10:11:12Z") in local time; day 0 and "" when it is no such moment.
struct LocalTime {
    std::int64_t day = 0;
    std::string clock; ///< "11:11"
};
[[nodiscard]] LocalTime local_time(std::string_view utc);

} // namespace bellhand::progress
