#pragma once

#include "engraving/outline.h"
#include "gui/palette.h"

#include <vector>

struct ImDrawList;
struct ImFontAtlas;

namespace bellhand::gui {

/// The engraved signs as pictures in the font texture, at the sizes a window needs.
class Engraving {
public:
    /// Before the atlas is built: asks for room for every sign of `signs` at this size.
    void
    reserve(ImFontAtlas& atlas, const std::vector<engraving::Sign>& signs, float staff_space_px);
    /// After the atlas is built: draws the pictures into it.
    void engrave(ImFontAtlas& atlas);

    /// Puts the sign with its origin at (x, y). Picks the picture whose size fits best.
    void draw(ImDrawList& list,
              engraving::Sign sign,
              float staff_space_px,
              float x,
              float y,
              Colour colour) const;

private:
    struct Picture {
        engraving::Sign sign = engraving::Sign::flat;
        float staff_space_px = 0.0F;
        int rectangle = 0; // in the atlas
        float left = 0.0F; // of the picture from the origin, in pixels
        float top = 0.0F;
        float width = 0.0F;
        float height = 0.0F;
        float u0 = 0.0F, v0 = 0.0F, u1 = 0.0F, v1 = 0.0F;
    };
    std::vector<Picture> pictures_;
};

} // namespace bellhand::gui
