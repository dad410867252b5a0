#pragma once

#include "chart/paper.h"
#include "engraving/score.h"

#include <string>

namespace bellhand::chart {

/// Upright A4 pages to play from, with staves of 7 mm. The same score gives the same bytes. Errors as `render_page`.
[[nodiscard]] Result<std::string> score_pages(const engraving::Score& score, PageFormat format);

} // namespace bellhand::chart
