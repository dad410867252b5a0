#pragma once

namespace bellhand::gui {

/// A rectangle of the window in pixels, y downwards.
struct Box {
    float x0 = 0.0F;
    float y0 = 0.0F;
    float x1 = 0.0F;
    float y1 = 0.0F;

    [[nodiscard]] float width() const noexcept { return x1 - x0; }
    [[nodiscard]] float height() const noexcept { return y1 - y0; }
    [[nodiscard]] float middle_x() const noexcept { return 0.5F * (x0 + x1); }
    [[nodiscard]] float middle_y() const noexcept { return 0.5F * (y0 + y1); }

    [[nodiscard]] Box shrunk(float horizontally, float vertically) const noexcept {
        return {x0 + horizontally, y0 + vertically, x1 - horizontally, y1 - vertically};
    }
    /// Cuts a piece off one side: the piece is returned, the rest stays here.
    Box take_top(float size) noexcept {
        const Box piece{x0, y0, x1, y0 + size};
        y0 += size;
        return piece;
    }
    Box take_bottom(float size) noexcept {
        const Box piece{x0, y1 - size, x1, y1};
        y1 -= size;
        return piece;
    }
    Box take_left(float size) noexcept {
        const Box piece{x0, y0, x0 + size, y1};
        x0 += size;
        return piece;
    }
    Box take_right(float size) noexcept {
        const Box piece{x1 - size, y0, x1, y1};
        x1 -= size;
        return piece;
    }
};

} // namespace bellhand::gui
