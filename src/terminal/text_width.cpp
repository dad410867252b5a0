#include "terminal/text_width.h"

#include <algorithm>

namespace bellhand::terminal {

std::size_t display_width(const std::string& utf8) noexcept {
    return static_cast<std::size_t>(std::count_if(utf8.begin(), utf8.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

std::string cut_to_width(const std::string& line, int columns) {
    int cells = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if ((static_cast<unsigned char>(line[i]) & 0xC0U) != 0x80U && ++cells > columns) {
            return line.substr(0, i);
        }
    }
    return line;
}

} // namespace bellhand::terminal
