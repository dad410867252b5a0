#include "core/platform_terminal.h"

#include <cstdlib>
#include <initializer_list>
#include <utility>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

bool shows_utf8(std::initializer_list<std::pair<const char*, const char*>> environment) {
    for (const char* const name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
        unsetenv(name);
    }
    for (const auto& [name, value] : environment) {
        setenv(name, value, 1);
    }
    return platform::output_shows_utf8();
}

} // namespace

TEST_SUITE("core/terminal") {
    // Source: POSIX.1-2017, Base Definitions 8.2: LC_ALL before LC_CTYPE before LANG; an empty one counts as not set.
    TEST_CASE("the first variable that says something decides whether the terminal takes UTF-8") {
        CHECK(shows_utf8({{"LANG", "en_GB.UTF-8"}}));
        CHECK(shows_utf8({{"LC_CTYPE", "C.utf8"}, {"LANG", "C"}}));
        CHECK(shows_utf8({{"LC_ALL", ""}, {"LANG", "en_GB.UTF-8"}}));
        CHECK_FALSE(shows_utf8({{"LC_ALL", "C"}, {"LANG", "en_GB.UTF-8"}}));
        CHECK_FALSE(shows_utf8({{"LC_CTYPE", "de_DE.ISO-8859-1"}, {"LANG", "en_GB.UTF-8"}}));
        CHECK_FALSE(shows_utf8({}));
    }
}
