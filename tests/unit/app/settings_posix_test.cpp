#include "app/settings.h"

#include <cstdlib>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("app/settings") {
    TEST_CASE("the place follows the XDG base directory specification") {
        setenv("XDG_CONFIG_HOME", "/somewhere/config", 1);
        CHECK(app::settings_path() == "/somewhere/config/bellhand/settings.json");
        setenv("XDG_CONFIG_HOME", "relative", 1); // must be ignored, says the specification
        setenv("HOME", "/home/someone", 1);
        CHECK(app::settings_path() == "/home/someone/.config/bellhand/settings.json");
    }
}
