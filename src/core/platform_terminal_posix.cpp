#include "core/platform_terminal.h"

#include <csignal>
#include <cstdlib>
#include <string_view>

#include <poll.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

namespace bellhand::platform {

namespace {

volatile std::sig_atomic_t g_stop = 0;

void ask_to_stop(int /*signal*/) {
    g_stop = 1;
}

} // namespace

bool input_is_terminal() noexcept {
    return ::isatty(STDIN_FILENO) != 0;
}

bool output_can_redraw() noexcept {
    const char* kind = std::getenv("TERM");
    return ::isatty(STDOUT_FILENO) != 0 && kind != nullptr && *kind != '\0' &&
           std::string_view(kind) != "dumb";
}

bool output_shows_utf8() {
    for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
        const char* value = std::getenv(name);
        if (value != nullptr && *value != '\0') {
            const std::string_view text(value);
            for (const char* spelling : {"UTF-8", "utf8", "UTF8", "utf-8"}) {
                if (text.find(spelling) != std::string_view::npos) {
                    return true;
                }
            }
            return false;
        }
    }
    return false;
}

std::optional<TerminalSize> terminal_size() noexcept {
    winsize found{};
    if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &found) == 0 && found.ws_col > 0 && found.ws_row > 0) {
        return TerminalSize{found.ws_col, found.ws_row};
    }
    return std::nullopt;
}

struct KeyByKey::Saved {
    termios state{};
};

KeyByKey::KeyByKey() {
    termios state{};
    if (input_is_terminal() && ::tcgetattr(STDIN_FILENO, &state) == 0) {
        saved_ = std::make_unique<Saved>(Saved{state});
        state.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
        state.c_cc[VMIN] = 0;
        state.c_cc[VTIME] = 0;
        ::tcsetattr(STDIN_FILENO, TCSANOW, &state);
    }
}

KeyByKey::~KeyByKey() {
    if (saved_) {
        ::tcsetattr(STDIN_FILENO, TCSANOW, &saved_->state);
    }
}

std::size_t KeyByKey::typed(std::span<char> out, int wait_ms) const {
    pollfd input{STDIN_FILENO, POLLIN, 0};
    if (!saved_ || ::poll(&input, 1, wait_ms) <= 0) {
        return 0;
    }
    const ssize_t count = ::read(STDIN_FILENO, out.data(), out.size());
    return count > 0 ? static_cast<std::size_t>(count) : 0;
}

void catch_stop_signals() {
    struct sigaction action {};
    action.sa_handler = ask_to_stop;
    sigemptyset(&action.sa_mask);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
        ::sigaction(signal, &action, nullptr);
    }
    std::signal(SIGPIPE, SIG_IGN); // a closed terminal must not keep the session from being saved
}

bool stop_asked() noexcept {
    return g_stop != 0;
}

} // namespace bellhand::platform
