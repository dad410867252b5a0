#include "desk/pages/log_page.h"

#include <cstdlib>
#include <ctime>

#include <doctest/doctest.h>

using namespace bellhand::desk;

TEST_SUITE("desk/log_page") {
    TEST_CASE("moments of the log are said in local time") {
        setenv("TZ", "UTC", 1);
        tzset();
        CHECK(moment_words("2026-11-25T14:05:59Z") ==
              "Wed 25 Nov 2026, 14:05"); // 25 November 2026 is a Wednesday
        CHECK(moment_words("some day") == "some day");
    }
}
