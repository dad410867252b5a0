#pragma once

#include <string>

namespace bellhand::desk {

/// Typing a line: text in UTF-8, characters as the keyboard gives them.
void append_utf8(std::string& text, char32_t character);
void remove_last_character(std::string& text);

} // namespace bellhand::desk
