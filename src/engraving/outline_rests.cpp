#include "engraving/outline_parts.h"
#include "engraving/pen.h"

namespace bellhand::engraving {

namespace {

std::vector<Point> block(float x0, float x1, float y0, float y1) {
    return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
}

Outline quarter_rest() {
    Outline sign;
    sign.loops.push_back(stroke({
        {-0.24F, 1.44F, 0.10F},
        {0.10F, 0.98F, 0.26F},
        {0.22F, 0.72F, 0.34F},
        {-0.08F, 0.34F, 0.36F},
        {-0.18F, 0.14F, 0.28F},
        {0.10F, -0.24F, 0.20F},
        {0.38F, -0.62F, 0.10F},
    }));
    sign.loops.push_back(stroke({
        {0.36F, -0.60F, 0.10F},
        {-0.06F, -0.56F, 0.26F},
        {-0.30F, -0.80F, 0.28F},
        {-0.18F, -1.16F, 0.16F},
        {0.08F, -1.44F, 0.08F},
    }));
    return sign;
}

/// `hooks` 1 for an eighth, 2 for a sixteenth, ...: the upper hook hangs in the third space, the others below it, and from
/// the thirty-second on one more above.
Outline hooked_rest(int hooks) {
    Outline sign;
    const float top = hooks > 2 ? 1.0F : 0.0F; // how far the highest hook stands over the eighth's
    const auto lean = [&](float y) { return 0.20F * (y + 1.0F); }; // of the stem to the right
    const float foot = top - static_cast<float>(hooks);
    for (int i = 0; i < hooks; ++i) {
        const float y = top - static_cast<float>(i);
        const float x = lean(y) + 0.04F;
        sign.loops.push_back(ellipse({x - 0.48F, y + 0.46F}, 0.24F, 0.24F, 0.0F));
        sign.loops.push_back(stroke({
            {x - 0.54F, y + 0.28F, 0.12F},
            {x - 0.16F, y + 0.22F, 0.13F},
            {x + 0.16F, y + 0.60F, 0.12F},
        }));
    }
    sign.loops.push_back(stroke({
        {lean(top) + 0.22F, top + 0.64F, 0.12F},
        {0.5F * (lean(top) + lean(foot)) + 0.10F, 0.5F * (top + 0.64F + foot), 0.13F},
        {lean(foot) - 0.02F, foot, 0.15F},
    }));
    return sign;
}

} // namespace

Outline rest_outline(Sign sign) {
    Outline outline;
    switch (sign) {
    case Sign::whole_rest: // hangs from the fourth line
        outline.loops.push_back(block(-0.56F, 0.56F, 0.5F, 1.03F));
        break;
    case Sign::half_rest: // lies on the third
        outline.loops.push_back(block(-0.56F, 0.56F, -0.03F, 0.5F));
        break;
    case Sign::quarter_rest:
        return quarter_rest();
    case Sign::eighth_rest:
        return hooked_rest(1);
    case Sign::sixteenth_rest:
        return hooked_rest(2);
    case Sign::thirty_second_rest:
        return hooked_rest(3);
    default:
        return hooked_rest(4);
    }
    return outline;
}

} // namespace bellhand::engraving
