#pragma once

#include "engraving/outline.h"

namespace bellhand::engraving {

// The outlines by kind; their corners are not measured yet. Each takes signs of its own kind only.

[[nodiscard]] Outline rest_outline(Sign sign);
[[nodiscard]] Outline metre_outline(Sign sign);
[[nodiscard]] Outline mark_outline(Sign sign);
[[nodiscard]] Outline letter_outline(Sign sign);

} // namespace bellhand::engraving
