#pragma once

#include "core/result.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace bellhand::calendar {

/// The day of a moment (seconds since 1970) in the local calendar, in days since 1970-01-01.
[[nodiscard]] std::int64_t local_day(std::int64_t unix_s) noexcept;
/// The same of now.
[[nodiscard]] std::int64_t today() noexcept;

/// A moment (seconds since 1970) in UTC as files and the log write it, ISO 8601: "2026-03-01T10:11:12Z".
[[nodiscard]] std::string utc_text(std::int64_t unix_s);
[[nodiscard]] std::string now_utc();

/// The day that "2026-03-01" names, from 1900 on; empty for anything else and for days that do not exist.
[[nodiscard]] std::optional<std::int64_t> day_in(std::string_view iso) noexcept;

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

} // namespace bellhand::calendar
