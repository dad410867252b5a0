#pragma once

#include "desk/press.h"

#include <cstddef>
#include <string>

namespace bellhand::desk {

/// A line of text as it is being written: UTF-8, with a cursor that never stands inside a character.
class TextEntry {
public:
    static constexpr std::size_t kMost_bytes = 4000;

    TextEntry() = default;
    explicit TextEntry(std::string text) : text_(std::move(text)), cursor_(text_.size()) {}

    /// True when the key wrote or moved something. Enter, Escape, Tab and vertical arrows are left to the caller.
    bool press(const Press& press);

    [[nodiscard]] const std::string& text() const noexcept { return text_; }
    [[nodiscard]] std::size_t cursor() const noexcept { return cursor_; }
    [[nodiscard]] bool empty() const noexcept { return text_.empty(); }
    /// Replaces everything; the cursor goes to the end.
    void set(std::string text);
    /// The text with a bar where the cursor stands.
    [[nodiscard]] std::string with_cursor() const;

private:
    [[nodiscard]] std::size_t before(std::size_t at) const noexcept;
    [[nodiscard]] std::size_t after(std::size_t at) const noexcept;

    std::string text_;
    std::size_t cursor_ = 0;
};

} // namespace bellhand::desk
