#include "desk/text_entry.h"

#include "desk/typing.h"

#include <utility>

namespace bellhand::desk {

namespace {

bool continues(char byte) noexcept {
    return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

} // namespace

std::size_t TextEntry::before(std::size_t at) const noexcept {
    while (at > 0 && continues(text_[--at])) {
    }
    return at;
}

std::size_t TextEntry::after(std::size_t at) const noexcept {
    while (at < text_.size() && ++at < text_.size() && continues(text_[at])) {
    }
    return at;
}

bool TextEntry::press(const Press& press) {
    switch (press.key) {
    case Key::left:
        cursor_ = before(cursor_);
        return true;
    case Key::right:
        cursor_ = after(cursor_);
        return true;
    case Key::home:
        cursor_ = 0;
        return true;
    case Key::end:
        cursor_ = text_.size();
        return true;
    case Key::backspace: {
        const std::size_t start = before(cursor_);
        text_.erase(start, cursor_ - start);
        cursor_ = start;
        return true;
    }
    case Key::del:
        text_.erase(cursor_, after(cursor_) - cursor_);
        return true;
    case Key::none:
        break;
    default:
        return false;
    }
    if (press.character < U' ' || press.character == U'\x7F') {
        return false;
    }
    std::string letter;
    append_utf8(letter, press.character);
    if (text_.size() + letter.size() <= kMost_bytes) {
        text_.insert(cursor_, letter);
        cursor_ += letter.size();
    }
    return true;
}

void TextEntry::set(std::string text) {
    text_ = std::move(text);
    cursor_ = text_.size();
}

std::string TextEntry::with_cursor() const {
    return text_.substr(0, cursor_) + "|" + text_.substr(cursor_);
}

} // namespace bellhand::desk
