#pragma once

#include "chart/paper.h"
#include "chart/sheet.h"

namespace bellhand::chart {

/// The hand chart on one A4 page for the music stand: every note on the staff with the sign of the hand above it, under
/// it the partial, what the lips supply, the other way and what sounds. SVG and PDF come from the same drawing. Errors
/// as `render_page`.
[[nodiscard]] Result<std::string> sheet_page(const Sheet& sheet, PageFormat format);

} // namespace bellhand::chart
