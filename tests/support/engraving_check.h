#pragma once

#include "engraving/layout.h"

#include <string>
#include <vector>

namespace bellhand::test {

/// What runs into something else in a layout, or over the edge of its line or page, in words; empty when all is well.
/// What may touch (a slur and the staff, a beam and its stems) is not looked at.
[[nodiscard]] std::vector<std::string> clashes(const engraving::Layout& layout,
                                               const engraving::PageStyle& style);

} // namespace bellhand::test
