#include "core/platform_terminal.h"

#include <cstdlib>
#include <initializer_list>
#include <utility>

#include <doctest/doctest.h>

#include <fcntl.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

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

/// What is asked while the standard output leads somewhere else.
template <typename Ask>
auto with_output_to(int file, const Ask& ask) {
    const int kept = ::dup(STDOUT_FILENO);
    ::dup2(file, STDOUT_FILENO);
    const auto answer = ask();
    ::dup2(kept, STDOUT_FILENO);
    ::close(kept);
    return answer;
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

    TEST_CASE("the size is that of the terminal that is written to; a file has none") {
        const int master = ::posix_openpt(O_RDWR | O_NOCTTY);
        if (master < 0 || ::grantpt(master) != 0 || ::unlockpt(master) != 0) {
            MESSAGE("skipped: no terminal can be made here");
            return;
        }
        const int terminal = ::open(::ptsname(master), O_RDWR | O_NOCTTY);
        REQUIRE(terminal >= 0);
        const winsize size{31, 97, 0, 0};
        REQUIRE(::ioctl(terminal, TIOCSWINSZ, &size) == 0);
        const auto told = with_output_to(terminal, platform::terminal_size);
        const int nothing = ::open("/dev/null", O_WRONLY);
        const auto told_of_file = with_output_to(nothing, platform::terminal_size);
        ::close(nothing);
        ::close(terminal);
        ::close(master);
        REQUIRE(told);
        CHECK(told->columns == 97);
        CHECK(told->rows == 31);
        CHECK_FALSE(told_of_file);
    }

    TEST_CASE("where input is no terminal nothing is typed, though bytes wait there") {
        int ends[2];
        REQUIRE(::pipe(ends) == 0);
        REQUIRE(::write(ends[1], "abc", 3) == 3);
        const int kept = ::dup(STDIN_FILENO);
        ::dup2(ends[0], STDIN_FILENO);
        char typed[8];
        std::size_t count = 0;
        {
            const platform::KeyByKey keys;
            count = keys.typed(typed, 0);
        }
        ::dup2(kept, STDIN_FILENO);
        for (const int file : {kept, ends[0], ends[1]}) {
            ::close(file);
        }
        CHECK(count == 0);
    }
}
