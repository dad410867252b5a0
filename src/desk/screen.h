#pragma once

namespace bellhand::desk {

/// What fills the window. Those before `count` are turned over one after the other and have the numbers 1, 2, ... 9, 0.
enum class Screen {
    practice,
    large,
    chart,
    bench,
    today,
    progress,
    log,
    hand,    ///< the notes played last, and what the hand did
    closing, ///< the hand closed slowly
    homework,
    count,
    run, ///< an exercise or a plan at work; reached by beginning one
};

/// "practice", "large", "hand chart", "bench", "today", ...
[[nodiscard]] const char* name_of(Screen screen) noexcept;
/// The digit that shows it: '1' for the first, '0' for the tenth.
[[nodiscard]] char digit_of(Screen screen) noexcept;

} // namespace bellhand::desk
