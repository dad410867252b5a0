#pragma once

#include "desk/press.h"

namespace bellhand::test {

inline gui::Press key(gui::Key which) {
    gui::Press press;
    press.key = which;
    return press;
}

inline gui::Press letter(char character) {
    gui::Press press;
    press.character = static_cast<char32_t>(character);
    return press;
}

} // namespace bellhand::test
