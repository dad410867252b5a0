#include "terminal/terminal.h"

#include <array>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include <poll.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

namespace bellhand::terminal {

namespace {

volatile std::sig_atomic_t g_stop = 0;

void ask_to_stop(int /*signal*/) {
    g_stop = 1;
}

void print(const char* text) {
    std::fputs(text, stdout);
    std::fflush(stdout);
}

} // namespace

struct Terminal::Saved {
    termios state{};
};

Terminal::Terminal() {
    termios state{};
    if (isatty(STDIN_FILENO) != 0 && tcgetattr(STDIN_FILENO, &state) == 0) {
        saved_ = new Saved{state};
        state.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
        state.c_cc[VMIN] = 0;
        state.c_cc[VTIME] = 0;
        tcsetattr(STDIN_FILENO, TCSANOW, &state);
    }
    print(
        "\x1b[?1049h\x1b[?25l\x1b[2J"); // second screen, no cursor, empty (ECMA-48 and xterm's control sequences)
}

Terminal::~Terminal() {
    print("\x1b[?25h\x1b[?1049l");
    if (saved_ != nullptr) {
        tcsetattr(STDIN_FILENO, TCSANOW, &saved_->state);
        delete saved_;
    }
}

Terminal::Size Terminal::size() const {
    winsize found{};
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &found) == 0 && found.ws_col > 0 && found.ws_row > 0) {
        return {found.ws_col, found.ws_row};
    }
    return {};
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
    pollfd input{STDIN_FILENO, POLLIN, 0};
    if (saved_ == nullptr || poll(&input, 1, 0) <= 0) {
        return std::nullopt;
    }
    std::array<char, 8> typed{};
    const ssize_t count = read(STDIN_FILENO, typed.data(), 1);
    if (count <= 0) {
        return std::nullopt;
    }
    if (typed[0] != '\x1b') {
        return typed[0];
    }
    if (poll(&input, 1, 20) <= 0) {
        return '\x1b'; // the key itself, not the beginning of an arrow
    }
    const ssize_t more = read(STDIN_FILENO, typed.data() + 1, typed.size() - 1);
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

bool can_redraw() {
    const char* kind = std::getenv("TERM");
    return isatty(STDOUT_FILENO) != 0 && kind != nullptr && *kind != '\0' &&
           std::strcmp(kind, "dumb") != 0;
}

bool speaks_utf8() {
    for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
        const char* value = std::getenv(name);
        if (value != nullptr && *value != '\0') {
            const std::string text(value);
            return text.find("UTF-8") != std::string::npos ||
                   text.find("utf8") != std::string::npos ||
                   text.find("UTF8") != std::string::npos ||
                   text.find("utf-8") != std::string::npos;
        }
    }
    return false;
}

void catch_stop_signals() {
    struct sigaction action {};
    action.sa_handler = ask_to_stop;
    sigemptyset(&action.sa_mask);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
        sigaction(signal, &action, nullptr);
    }
    std::signal(SIGPIPE, SIG_IGN); // a closed terminal must not keep the session from being saved
}

bool stop_asked() noexcept {
    return g_stop != 0;
}

} // namespace bellhand::terminal
