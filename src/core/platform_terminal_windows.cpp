// The console of Windows 10 and later, which draws by the control sequences of ECMA-48.
#include "core/platform_terminal.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <string>

#define WIN32_LEAN_AND_MEAN
#include <windows.h>

namespace bellhand::platform {

namespace {

std::atomic<bool> g_stop{false};

BOOL WINAPI ask_to_stop(DWORD event) {
    g_stop = true;
    if (event == CTRL_CLOSE_EVENT || event == CTRL_LOGOFF_EVENT || event == CTRL_SHUTDOWN_EVENT) {
        ::Sleep(INFINITE); // the program is ended when this returns: it shall end by itself
    }
    return TRUE;
}

HANDLE input() noexcept {
    return ::GetStdHandle(STD_INPUT_HANDLE);
}

HANDLE output() noexcept {
    return ::GetStdHandle(STD_OUTPUT_HANDLE);
}

/// The control sequence of a key that has no letter.
const char* sequence_of(WORD key) {
    switch (key) {
    case VK_UP:
        return "\x1b[A";
    case VK_DOWN:
        return "\x1b[B";
    case VK_RIGHT:
        return "\x1b[C";
    case VK_LEFT:
        return "\x1b[D";
    case VK_HOME:
        return "\x1b[H";
    case VK_END:
        return "\x1b[F";
    case VK_PRIOR:
        return "\x1b[5~";
    case VK_NEXT:
        return "\x1b[6~";
    default:
        return "";
    }
}

std::string bytes_of(const KEY_EVENT_RECORD& key) {
    const wchar_t letter = key.uChar.UnicodeChar;
    if (letter == 0) {
        return sequence_of(key.wVirtualKeyCode);
    }
    std::array<char, 4> bytes{};
    const int count = ::WideCharToMultiByte(
        CP_UTF8, 0, &letter, 1, bytes.data(), static_cast<int>(bytes.size()), nullptr, nullptr);
    return {bytes.data(), static_cast<std::size_t>(std::max(0, count))};
}

} // namespace

bool input_is_terminal() noexcept {
    DWORD mode = 0;
    return ::GetConsoleMode(input(), &mode) != 0;
}

bool output_can_redraw() noexcept {
    DWORD mode = 0;
    return ::GetConsoleMode(output(), &mode) != 0 &&
           ::SetConsoleMode(output(), mode | ENABLE_VIRTUAL_TERMINAL_PROCESSING) != 0;
}

bool output_shows_utf8() {
    return true; // see begin_program
}

std::optional<TerminalSize> terminal_size() noexcept {
    CONSOLE_SCREEN_BUFFER_INFO facts{};
    if (::GetConsoleScreenBufferInfo(output(), &facts) == 0) {
        return std::nullopt;
    }
    return TerminalSize{facts.srWindow.Right - facts.srWindow.Left + 1,
                        facts.srWindow.Bottom - facts.srWindow.Top + 1};
}

struct KeyByKey::Saved {
    DWORD mode = 0;
};

KeyByKey::KeyByKey() {
    DWORD mode = 0;
    if (::GetConsoleMode(input(), &mode) != 0) {
        saved_ = std::make_unique<Saved>(Saved{mode});
        ::SetConsoleMode(input(),
                         mode & ~static_cast<DWORD>(ENABLE_LINE_INPUT | ENABLE_ECHO_INPUT));
    }
}

KeyByKey::~KeyByKey() {
    if (saved_) {
        ::SetConsoleMode(input(), saved_->mode);
    }
}

std::size_t KeyByKey::typed(std::span<char> out, int wait_ms) const {
    if (!saved_) {
        return 0;
    }
    using Clock = std::chrono::steady_clock;
    const auto end = Clock::now() + std::chrono::milliseconds(wait_ms);
    std::size_t filled = 0;
    while (filled == 0) { // events of the mouse and of keys let go come too
        const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(end - Clock::now());
        const auto wait = static_cast<DWORD>(std::max<std::int64_t>(0, left.count()));
        if (::WaitForSingleObject(input(), wait) != WAIT_OBJECT_0) {
            return 0;
        }
        INPUT_RECORD event{};
        DWORD count = 0;
        if (::ReadConsoleInputW(input(), &event, 1, &count) == 0 || count == 0) {
            return 0;
        }
        if (event.EventType == KEY_EVENT && event.Event.KeyEvent.bKeyDown != 0) {
            const std::string bytes = bytes_of(event.Event.KeyEvent);
            filled = std::min(bytes.size(), out.size());
            std::copy_n(bytes.begin(), filled, out.begin());
        }
    }
    return filled;
}

void catch_stop_signals() {
    ::SetConsoleCtrlHandler(&ask_to_stop, TRUE);
}

bool stop_asked() noexcept {
    return g_stop;
}

} // namespace bellhand::platform
