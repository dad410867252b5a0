#pragma once

namespace bellhand::desk {

/// Keys that are no characters.
enum class Key {
    none,
    enter,
    escape,
    tab,
    backspace,
    del,
    up,
    down,
    left,
    right,
    page_up,
    page_down,
    home,
    end,
    f1,
    f11,
};

/// One press: a named key, or a character as the keyboard layout gives it (then `key` is none). Foot pedals send
/// page keys, arrows and space.
struct Press {
    Key key = Key::none;
    char32_t character = 0;
    bool control = false;
    bool shift = false;
    bool repeated =
        false; ///< the key is held down: a pedal that is kept pressed must not switch to and fro
};

} // namespace bellhand::desk
