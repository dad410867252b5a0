#include "core/calendar.h"

#include <cstdlib>
#include <ctime>

#include <doctest/doctest.h>

using namespace bellhand::calendar;

namespace {

/// A time zone for one test, in POSIX notation, which needs no data files.
class Zone {
public:
    explicit Zone(const char* zone) {
        setenv("TZ", zone, 1);
        tzset();
    }
    ~Zone() {
        unsetenv("TZ");
        tzset();
    }
    Zone(const Zone&) = delete;
    Zone& operator=(const Zone&) = delete;
};

} // namespace

TEST_SUITE("core/calendar") {
    TEST_CASE("days and their names") {
        // Source: `date -u -d 2026-03-01 +%s` (GNU coreutils) gives 1772323200 = 20513 * 86400; a Sunday.
        CHECK(parse_day("2026-03-01").value() == 20513);
        CHECK(iso_day(20513) == "2026-03-01");
        CHECK(day_name(20513) == "1 Mar 2026");
        CHECK(short_day_name(20513) == "Sun 1 Mar");
        CHECK(long_day_name(20513) == "Sun 1 Mar 2026");
        CHECK(parse_day("today").value() == today());
        CHECK(parse_day("yesterday").value() == today() - 1);
        CHECK(parse_day("2024-02-29"));
        CHECK(parse_day("1970-01-01").value() ==
              0); // days are counted from here, and none lies before
        CHECK_FALSE(parse_day("1969-12-31"));
    }

    TEST_CASE("what is not a date is refused with an example") {
        for (const char* text :
             {"", "2026-02-29", "2026-13-01", "1.3.2026", "2026-3-1", "2026-03-01x", "tomorrow"}) {
            CAPTURE(text);
            const auto day = parse_day(text);
            REQUIRE_FALSE(day);
            CHECK(day.error().message.find("2026-03-01") != std::string::npos);
        }
    }

    TEST_CASE("moments of the log in local time, across midnight") {
        {
            const Zone east("EAST-2");
            CHECK(local_time("2026-02-28T22:30:00Z").day == 20513);
            CHECK(local_time("2026-02-28T22:30:00Z").clock == "00:30");
        }
        {
            const Zone west("ZON5");
            CHECK(local_time("2026-03-02T03:05:00Z").day == 20513);
            CHECK(local_time("2026-03-02T03:05:00Z").clock == "22:05");
        }
        CHECK(local_time("").day == 0);
        CHECK(local_time("2026-03-0").clock.empty());
        CHECK(local_time("yesterday at noon").clock.empty());
    }

    TEST_CASE("days that are, and days that are not") {
        for (const char* const day : {"2026-03-01", "2024-02-29", "2000-02-29", "2026-12-31"}) {
            CHECK(day_in(day));
        }
        for (const char* const day : {"",
                                      "2026-02-29",
                                      "1900-02-29",
                                      "2026-13-01",
                                      "2026-00-10",
                                      "2026-04-31",
                                      "2026-1-01",
                                      "2026-03-01T",
                                      "+026-03-01"}) {
            CAPTURE(day);
            CHECK_FALSE(day_in(day));
        }
    }
}
