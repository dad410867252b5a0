#pragma once

#include "core/result.h"
#include "horn/acoustics/bore.h"

#include <string>
#include <string_view>

namespace bellhand::horn::acoustics {

/// Reads a bore table: comma-separated lines, one segment a line from the mouthpiece to the bell. The first line names
/// the three columns with their unit, in any order:
///
///     length_mm,start_diameter_mm,end_diameter_mm
///     8,17,17
///     45,17,4.6
///
/// `radius` may stand for `diameter` and `_m` for `_mm`. Empty lines and lines that begin with # are skipped; radii of
/// neighbours need not meet (a step). `where` names the table in errors.
///
/// Errors (usage): columns missing, unknown or twice; a cell that is not a number; too many lines; and what
/// `checked_bore` refuses. One sentence with the line.
[[nodiscard]] Result<Bore> parse_bore(std::string_view text, const std::string& where);

/// The same table, millimetres and diameters, for a bore that was computed.
[[nodiscard]] std::string bore_text(const Bore& bore);

} // namespace bellhand::horn::acoustics
