#pragma once

#include "gui/box.h"
#include "gui/palette.h"

#include <string>
#include <vector>

namespace bellhand::gui {

/// One thing that a canvas drew, in the order of drawing: what a check of the layout needs to know of it.
struct Drawn {
    enum class Kind { text, sign, fill };
    Kind kind = Kind::text;
    Box box;        ///< text: from the capitals' height to the baseline; in pixels of the window
    Box clip;       ///< what of the window could be drawn into just then
    Colour ink = 0; ///< with its opacity
    float cap_px = 0.0F; ///< of text and signs
    bool cut = false;    ///< the words were wider than their room and end in an ellipsis
    std::string words;   ///< as drawn
};

/// A record of one frame.
using DrawnThings = std::vector<Drawn>;

} // namespace bellhand::gui
