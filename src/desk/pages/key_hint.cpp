#include "desk/pages/key_hint.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

namespace {

const char* cap_of(Key key) {
    switch (key) {
    case Key::enter:
        return "Enter";
    case Key::escape:
        return "Esc";
    case Key::tab:
        return "Tab";
    case Key::backspace:
        return "Backspace";
    case Key::up:
    case Key::down:
        return "Up Down";
    case Key::left:
    case Key::right:
        return "Left Right";
    case Key::page_up:
        return "PgUp";
    case Key::page_down:
        return "PgDn";
    default:
        return "";
    }
}

} // namespace

KeyHint hint(Key key, std::string words) {
    KeyHint made;
    made.key = cap_of(key);
    made.words = std::move(words);
    made.press.key = key;
    return made;
}

KeyHint hint(char letter, std::string words) {
    KeyHint made;
    made.key = letter == ' ' ? "Space" : std::string(1, static_cast<char>(letter - 'a' + 'A'));
    made.words = std::move(words);
    made.press.character = static_cast<char32_t>(letter);
    return made;
}

bool is_letter(const Press& press, char letter) noexcept {
    return press.character == static_cast<char32_t>(letter) ||
           press.character == static_cast<char32_t>(letter - 'a' + 'A');
}

bool move_choice(const Press& press, int count, int& chosen) noexcept {
    switch (press.key) {
    case Key::up:
        --chosen;
        break;
    case Key::down:
        ++chosen;
        break;
    case Key::home:
        chosen = 0;
        break;
    case Key::end:
        chosen = count - 1;
        break;
    default:
        return false;
    }
    chosen = std::clamp(chosen, 0, std::max(0, count - 1));
    return true;
}

} // namespace bellhand::desk
