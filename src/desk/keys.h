#pragma once

#include "desk/press.h"

#include <functional>
#include <span>
#include <string>
#include <vector>

namespace bellhand::desk {

/// Where a line of the key table holds.
enum class Where {
    page,       ///< on the page, or the sheet, that gives the line
    window,     ///< on every page that leaves the window its keys
    all_pages,  ///< also on pages that keep the other keys to themselves
    everywhere, ///< also on sheets and while words are written
};

/// When a line stands at the foot of the screen.
enum class Foot {
    never,  ///< only in the help
    spare,  ///< where the page has nothing of its own to say there
    usual,  ///< as far as there is room
    always, ///< the way out, and saving: no sentence takes their room
};

/// One line of the key table: a key, where it holds, what it does here in words, and the doing. What is pressed, what the
/// foot of the screen shows and what the help lists are these lines.
struct KeyLine {
    std::vector<Press> keys; ///< any of them; a click on the line presses the first
    std::string cap;         ///< "Space", "Up Down", "Ctrl Q"
    std::string words;
    std::function<void(const Press&)> act;
    Foot foot = Foot::usual;
    Where where = Where::page;
    bool held = false; ///< acts again and again while the key is held down

    [[nodiscard]] KeyLine at(Foot when) const;
    [[nodiscard]] KeyLine at(Where place) const;
    /// Another key that does the same.
    [[nodiscard]] KeyLine or_key(Key key) const;
    [[nodiscard]] KeyLine or_key(char character) const;
};

using KeyTable = std::vector<KeyLine>;
using Act = std::function<void()>;

/// A letter (written small; the capital is the same key), a digit or sign, or ' '.
[[nodiscard]] KeyLine on(char character, std::string words, Act act);
[[nodiscard]] KeyLine on(Key key, std::string words, Act act);
/// Only the capital letter, that is with Shift.
[[nodiscard]] KeyLine on_shift(char letter, std::string words, Act act);
[[nodiscard]] KeyLine on_control(char character, std::string words, Act act);
/// Two keys that lead one step back (-1) and forth (+1).
[[nodiscard]] KeyLine
on_steps(Key back, Key forth, std::string words, std::function<void(int)> step);
/// Up, Down, Home and End move a choice among `count` rows; `choose` gets the row.
[[nodiscard]] KeyLine
on_rows(int count, int chosen, std::string words, std::function<void(int)> choose);

/// The line that this press belongs to, or null. The first one counts.
[[nodiscard]] const KeyLine* line_for(const KeyTable& table, const Press& press) noexcept;

/// Which lines stand at the foot of a screen, in their order: those that always do, then as many others as fit into
/// `room`. `wide`: what a line takes. `own`: how many lines from the first on are the page's own; where one of them is
/// shown, spare ones are not.
[[nodiscard]] std::vector<const KeyLine*>
at_foot(const KeyTable& table, const std::function<float(const KeyLine&)>& wide, float room);

/// A letter that means one thing wherever it is used. Other letters belong to the window or to one page.
struct LetterMeaning {
    char letter;
    const char* meaning;
};
[[nodiscard]] std::span<const LetterMeaning> letter_meanings() noexcept;

} // namespace bellhand::desk
