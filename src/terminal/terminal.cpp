#include "terminal/terminal.h"

#include <array>
#include <cstdio>

namespace bellhand::terminal {

namespace {

void print(const char* text) {
    std::fputs(text, stdout);
    std::fflush(stdout);
}

} // namespace

Terminal::Terminal() {
    // second screen, no cursor, empty (ECMA-48 and xterm's control sequences)
    print("\x1b[?1049h\x1b[?25l\x1b[2J");
}

Terminal::~Terminal() {
    print("\x1b[?25h\x1b[?1049l");
}

void Terminal::draw(const std::string& lines) const {
    std::string out = "\x1b[H";
    for (const char c : lines) {
        if (c == '\n') {
            out += "\x1b[K\r\n"; // clear what the line before left
        } else {
            out += c;
        }
    }
    out += "\x1b[K\x1b[J";
    print(out.c_str());
}

std::optional<char> Terminal::key() const {
    std::array<char, 8> typed{};
    if (keys_.typed(std::span(typed).first(1), 0) == 0) {
        return std::nullopt;
    }
    if (typed[0] != '\x1b') {
        return typed[0];
    }
    const std::size_t more = keys_.typed(std::span(typed).subspan(1), 20);
    if (more == 0) {
        return '\x1b'; // the key itself, not the beginning of an arrow
    }
    // Control sequences of ECMA-48 and VT220: arrows CSI A..D (SS3 in keypad mode), pages CSI 5 ~ and CSI 6 ~.
    if (more < 2 || (typed[1] != '[' && typed[1] != 'O')) {
        return std::nullopt;
    }
    switch (typed[2]) {
    case 'A':
        return kUpKey;
    case 'B':
        return kDownKey;
    case 'C':
        return kRightKey;
    case 'D':
        return kLeftKey;
    case '5':
        return kPageUpKey;
    case '6':
        return kPageDownKey;
    default:
        return std::nullopt;
    }
}

} // namespace bellhand::terminal
