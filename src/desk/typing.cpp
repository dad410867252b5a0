#include "desk/typing.h"

namespace bellhand::desk {

void append_utf8(std::string& text, char32_t character) {
    const auto byte = [&text](char32_t value) { text.push_back(static_cast<char>(value)); };
    if (character < 0x80) {
        byte(character);
    } else if (character < 0x800) {
        byte(0xC0U | (character >> 6U));
        byte(0x80U | (character & 0x3FU));
    } else if (character < 0x10000) {
        byte(0xE0U | (character >> 12U));
        byte(0x80U | ((character >> 6U) & 0x3FU));
        byte(0x80U | (character & 0x3FU));
    } else {
        byte(0xF0U | (character >> 18U));
        byte(0x80U | ((character >> 12U) & 0x3FU));
        byte(0x80U | ((character >> 6U) & 0x3FU));
        byte(0x80U | (character & 0x3FU));
    }
}

void remove_last_character(std::string& text) {
    while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) {
        text.pop_back();
    }
    if (!text.empty()) {
        text.pop_back();
    }
}

} // namespace bellhand::desk
