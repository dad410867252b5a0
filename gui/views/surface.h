#pragma once

#include "gui/canvas.h"

namespace bellhand::gui {

/// A place that can be clicked. `id` is unique on the screen. True when it was clicked in this frame; `hovered` tells
/// whether the pointer is over it.
bool hot_spot(const char* id, const Box& box, bool* hovered = nullptr);

} // namespace bellhand::gui
