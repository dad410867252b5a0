#pragma once

#include <cstddef>
#include <string>

namespace bellhand::terminal {

/// Cells of a terminal line, counted in Unicode code points (all the program prints are one cell wide).
[[nodiscard]] std::size_t display_width(const std::string& utf8) noexcept;

/// Cut to `columns` cells, never inside a character.
[[nodiscard]] std::string cut_to_width(const std::string& line, int columns);

} // namespace bellhand::terminal
