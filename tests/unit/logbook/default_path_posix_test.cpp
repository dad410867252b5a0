#include "logbook/logbook.h"

#include <cstdlib>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("logbook/logbook") {
    TEST_CASE("the default path follows the XDG base directory specification") {
        // Source: XDG Base Directory Specification 0.8 (freedesktop.org): $XDG_DATA_HOME, else $HOME/.local/share;
        // relative paths in the variable are to be ignored.
        setenv("XDG_DATA_HOME", "/tmp/somewhere", 1);
        CHECK(logbook::default_path() == "/tmp/somewhere/bellhand/log.sqlite");
        setenv("HOME", "/home/player", 1);
        setenv("XDG_DATA_HOME", "relative", 1);
        CHECK(logbook::default_path() == "/home/player/.local/share/bellhand/log.sqlite");
        unsetenv("XDG_DATA_HOME");
        CHECK(logbook::default_path() == "/home/player/.local/share/bellhand/log.sqlite");
    }
}
