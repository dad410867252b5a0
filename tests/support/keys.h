#pragma once

#include "desk/press.h"

namespace bellhand::test {

inline desk::Press key(desk::Key which) {
    desk::Press press;
    press.key = which;
    return press;
}

inline desk::Press letter(char character) {
    desk::Press press;
    press.character = static_cast<char32_t>(character);
    return press;
}

inline desk::Press with_control(char character) {
    desk::Press press = letter(character);
    press.control = true;
    return press;
}

} // namespace bellhand::test
