#pragma once

#include "core/platform_terminal.h"

#include <optional>
#include <string>

namespace bellhand::terminal {

/// Keys that send more than a letter, as `Terminal::key` gives them. Foot pedals send Page Down and Page Up or arrows.
inline constexpr char kLeftKey = '<';
inline constexpr char kRightKey = '>';
inline constexpr char kUpKey = '\x11';
inline constexpr char kDownKey = '\x12';
inline constexpr char kPageUpKey = '\x13';
inline constexpr char kPageDownKey = '\x14';

/// The terminal as a screen that is redrawn in place, and its keys one by one. Puts everything back when destroyed.
class Terminal {
public:
    Terminal();
    ~Terminal();
    Terminal(const Terminal&) = delete;
    Terminal& operator=(const Terminal&) = delete;

    /// Draws the lines from the top; what stood there is overwritten, not cleared first, so that nothing flickers.
    void draw(const std::string& lines) const;

    /// A key typed since the last call; arrows and pages as the constants above.
    [[nodiscard]] std::optional<char> key() const;

private:
    platform::KeyByKey keys_;
};

} // namespace bellhand::terminal
