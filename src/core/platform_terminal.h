#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>

/// What the operating system is asked about the terminal: the other half of `core/platform.h`.
namespace bellhand::platform {

[[nodiscard]] bool input_is_terminal() noexcept;
/// Whether standard output is a terminal in which lines can be drawn over.
[[nodiscard]] bool output_can_redraw() noexcept;
/// Whether it shows UTF-8.
[[nodiscard]] bool output_shows_utf8();

struct TerminalSize {
    int columns = 80;
    int rows = 24;
};
/// Empty: the system does not tell.
[[nodiscard]] std::optional<TerminalSize> terminal_size() noexcept;

/// Keys arrive one by one and unseen, until destroyed. Does nothing where input is no terminal.
class KeyByKey {
public:
    KeyByKey();
    ~KeyByKey();
    KeyByKey(const KeyByKey&) = delete;
    KeyByKey& operator=(const KeyByKey&) = delete;

    /// Bytes typed that arrive within this time, at most `out.size()`; keys without a letter as the control sequences of
    /// ECMA-48.
    [[nodiscard]] std::size_t typed(std::span<char> out, int wait_ms) const;

private:
    struct Saved;
    std::unique_ptr<Saved> saved_;
};

/// From now on Ctrl-C, an end asked by the system and a closed connection ask the program to stop instead of killing it.
void catch_stop_signals();
[[nodiscard]] bool stop_asked() noexcept;

} // namespace bellhand::platform
