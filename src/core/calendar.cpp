#include "core/calendar.h"

#include "core/platform.h"

#include <array>
#include <chrono>
#include <cstdio>
#include <ctime>

namespace bellhand::calendar {

namespace {

constexpr std::array kMonths{
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
constexpr std::array kWeekdays{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};

std::chrono::sys_days sys_day(std::int64_t day) {
    return std::chrono::sys_days(std::chrono::days(day));
}

std::int64_t day_of(const std::tm& local) {
    const std::chrono::year_month_day date{
        std::chrono::year(local.tm_year + 1900),
        std::chrono::month(static_cast<unsigned>(local.tm_mon + 1)),
        std::chrono::day(static_cast<unsigned>(local.tm_mday))};
    return std::chrono::sys_days(date).time_since_epoch().count();
}

/// Digits of `text` from `at` on as a number, -1 when one of them is none.
int digits(std::string_view text, std::size_t at, std::size_t count) {
    int value = 0;
    for (std::size_t i = at; i < at + count; ++i) {
        if (i >= text.size() || text[i] < '0' || text[i] > '9') {
            return -1;
        }
        value = 10 * value + (text[i] - '0');
    }
    return value;
}

} // namespace

std::int64_t local_day(std::int64_t unix_s) noexcept {
    return day_of(platform::local_time(unix_s));
}

std::int64_t today() noexcept {
    return local_day(static_cast<std::int64_t>(std::time(nullptr)));
}

std::string utc_text(std::int64_t unix_s) {
    const std::tm utc = platform::utc_time(unix_s);
    char text[32];
    std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &utc);
    return text;
}

std::string now_utc() {
    return utc_text(static_cast<std::int64_t>(std::time(nullptr)));
}

std::optional<std::int64_t> day_in(std::string_view iso) noexcept {
    const int year = digits(iso, 0, 4);
    const int month = digits(iso, 5, 2);
    const int day = digits(iso, 8, 2);
    if (iso.size() != 10 || iso[4] != '-' || iso[7] != '-' || year < 1900 || month < 0 || day < 0) {
        return std::nullopt;
    }
    const std::chrono::year_month_day date{std::chrono::year(year),
                                           std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    return date.ok()
               ? std::optional<std::int64_t>(std::chrono::sys_days(date).time_since_epoch().count())
               : std::nullopt;
}

Result<std::int64_t> parse_day(std::string_view text) {
    if (text == "today") {
        return today();
    }
    if (text == "yesterday") {
        return today() - 1;
    }
    if (const auto day = day_in(text); day && *day >= 0) {
        return *day;
    }
    return usage_error("\"" + std::string(text) +
                       "\" is not a date: give it as 2026-03-01, or today, or yesterday.");
}

std::string iso_day(std::int64_t day) {
    const std::chrono::year_month_day date(sys_day(day));
    char text[32];
    std::snprintf(text,
                  sizeof text,
                  "%04d-%02u-%02u",
                  static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()),
                  static_cast<unsigned>(date.day()));
    return text;
}

std::string day_name(std::int64_t day) {
    const std::chrono::year_month_day date(sys_day(day));
    return std::to_string(static_cast<unsigned>(date.day())) + " " +
           kMonths.at(static_cast<unsigned>(date.month()) - 1) + " " +
           std::to_string(static_cast<int>(date.year()));
}

std::string short_day_name(std::int64_t day) {
    const std::chrono::year_month_day date(sys_day(day));
    return std::string(kWeekdays.at(std::chrono::weekday(sys_day(day)).c_encoding())) + " " +
           std::to_string(static_cast<unsigned>(date.day())) + " " +
           kMonths.at(static_cast<unsigned>(date.month()) - 1);
}

std::string long_day_name(std::int64_t day) {
    const std::chrono::year_month_day date(sys_day(day));
    return short_day_name(day) + " " + std::to_string(static_cast<int>(date.year()));
}

LocalTime local_time(std::string_view utc) {
    std::tm moment{};
    moment.tm_year = digits(utc, 0, 4) - 1900;
    moment.tm_mon = digits(utc, 5, 2) - 1;
    moment.tm_mday = digits(utc, 8, 2);
    moment.tm_hour = digits(utc, 11, 2);
    moment.tm_min = digits(utc, 14, 2);
    if (utc.size() < 16 || moment.tm_year < 70 || moment.tm_mon < 0 || moment.tm_mday < 1 ||
        moment.tm_hour < 0 || moment.tm_min < 0) {
        return {};
    }
    const std::tm local = platform::local_time(platform::utc_seconds(moment));
    char clock[16];
    std::snprintf(clock, sizeof clock, "%02d:%02d", local.tm_hour % 24, local.tm_min % 60);
    return {day_of(local), clock};
}

} // namespace bellhand::calendar
