#include "desk/screen.h"

namespace bellhand::desk {

const char* name_of(Screen screen) noexcept {
    switch (screen) {
    case Screen::practice:
        return "practice";
    case Screen::large:
        return "large";
    case Screen::chart:
        return "hand chart";
    case Screen::bench:
        return "bench";
    case Screen::today:
        return "today";
    case Screen::progress:
        return "progress";
    case Screen::log:
        return "log";
    case Screen::hand:
        return "last notes";
    case Screen::closing:
        return "slow closing";
    case Screen::homework:
        return "homework";
    default:
        return "";
    }
}

char digit_of(Screen screen) noexcept {
    return static_cast<char>('0' + (static_cast<int>(screen) + 1) % 10);
}

} // namespace bellhand::desk
