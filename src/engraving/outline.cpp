#include "engraving/outline.h"

#include "engraving/outline_parts.h"
#include "engraving/pen.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <utility>

namespace bellhand::engraving {

namespace {

constexpr float kBeside =
    1.75F; // how much bolder an accidental is beside a bold letter than on the staff

/// Loops that overlap must run the same way round, or they would cut holes into each other; holes run the other way.
void set_direction(std::vector<Point>& loop, bool counter_clockwise) {
    float twice_area = 0.0F;
    for (std::size_t i = 0; i < loop.size(); ++i) {
        const Point& a = loop[i];
        const Point& b = loop[(i + 1) % loop.size()];
        twice_area += a.x * b.y - b.x * a.y;
    }
    if ((twice_area < 0.0F) == counter_clockwise) {
        std::reverse(loop.begin(), loop.end());
    }
}

Outline treble_clef() {
    Outline sign;
    sign.loops.push_back(stroke({
        {0.16F, -0.52F, 0.10F},
        {-0.26F, -0.30F, 0.18F},
        {-0.40F, 0.14F, 0.24F},
        {-0.12F, 0.62F, 0.22F},
        {0.42F, 0.66F, 0.26F},
        {0.86F, 0.30F, 0.32F},
        {0.94F, -0.24F, 0.32F},
        {0.62F, -0.76F, 0.24F},
        {0.06F, -0.94F, 0.17F},
        {-0.58F, -0.78F, 0.28F},
        {-0.98F, -0.24F, 0.40F},
        {-0.94F, 0.50F, 0.40F},
        {-0.58F, 1.18F, 0.32F},
        {-0.06F, 1.82F, 0.28F},
        {0.40F, 2.46F, 0.28F},
        {0.58F, 3.14F, 0.26F},
        {0.48F, 3.76F, 0.20F},
        {0.24F, 4.06F, 0.11F},
    }));
    sign.loops.push_back(stroke({
        {0.24F, 4.06F, 0.10F},
        {-0.04F, 3.72F, 0.15F},
        {-0.14F, 3.06F, 0.16F},
        {-0.06F, 2.30F, 0.15F},
        {0.12F, 1.20F, 0.14F},
        {0.30F, 0.10F, 0.14F},
        {0.46F, -1.00F, 0.14F},
        {0.50F, -1.70F, 0.15F},
        {0.30F, -2.26F, 0.14F},
        {-0.12F, -2.44F, 0.13F},
        {-0.46F, -2.22F, 0.12F},
    }));
    sign.loops.push_back(ellipse({-0.34F, -1.92F}, 0.32F, 0.32F, 0.0F));
    return sign;
}

Outline bass_clef() {
    Outline sign;
    sign.loops.push_back(ellipse({-0.55F, -0.02F}, 0.31F, 0.31F, 0.0F));
    sign.loops.push_back(stroke({
        {-0.80F, 0.12F, 0.08F},
        {-0.62F, 0.70F, 0.13F},
        {-0.10F, 0.98F, 0.18F},
        {0.48F, 0.82F, 0.32F},
        {0.80F, 0.22F, 0.40F},
        {0.74F, -0.52F, 0.36F},
        {0.32F, -1.28F, 0.26F},
        {-0.32F, -1.92F, 0.16F},
        {-0.98F, -2.32F, 0.06F},
    }));
    sign.loops.push_back(ellipse({1.36F, 0.5F}, 0.17F, 0.17F, 0.0F));
    sign.loops.push_back(ellipse({1.36F, -0.5F}, 0.17F, 0.17F, 0.0F));
    return sign;
}

/// `bold` thickens what is thin: 1 for the staff, more beside bold letters.
Outline flat(float bold) {
    Outline sign;
    const float stem = 0.12F * bold;
    const float thin = 0.10F * bold;
    const float thick = 0.24F * (0.55F + 0.45F * bold);
    sign.loops.push_back(post(0.5F * stem, -0.66F, 1.72F, stem));
    sign.loops.push_back(curve({{0.5F * stem, 0.36F},
                                {0.30F, 0.57F},
                                {0.58F, 0.63F},
                                {0.84F, 0.42F},
                                {0.82F, 0.06F},
                                {0.56F, -0.26F},
                                {0.28F, -0.48F},
                                {0.5F * stem, -0.66F}}));
    sign.holes.push_back(curve({{stem, 0.36F - 1.3F * thin},
                                {0.34F, 0.53F - 1.1F * thin},
                                {0.80F - thick, 0.40F - 0.2F * thin},
                                {0.79F - thick, 0.08F},
                                {0.62F - thick, -0.16F},
                                {stem, -0.60F + 1.9F * thin}}));
    return sign;
}

Outline natural() {
    Outline sign;
    sign.loops.push_back(post(0.07F, -0.72F, 1.42F, 0.12F));
    sign.loops.push_back(post(0.65F, -1.42F, 0.72F, 0.12F));
    sign.loops.push_back(slab(0.01F, 0.71F, 0.42F, 0.62F, 0.26F));
    sign.loops.push_back(slab(0.01F, 0.71F, -0.62F, -0.42F, 0.26F));
    return sign;
}

Outline sharp(float bold) {
    Outline sign;
    const float post_thick = 0.11F * bold;
    const float slab_thick = 0.29F * (0.6F + 0.4F * bold);
    sign.loops.push_back(post(0.32F, -1.42F, 1.32F, post_thick));
    sign.loops.push_back(post(0.76F, -1.28F, 1.46F, post_thick));
    sign.loops.push_back(slab(0.02F, 1.06F, 0.34F, 0.60F, slab_thick));
    sign.loops.push_back(slab(0.02F, 1.06F, -0.56F, -0.30F, slab_thick));
    return sign;
}

/// `side` -1 for the left one, 1 for the right one.
Outline parenthesis(float side) {
    Outline sign;
    sign.loops.push_back(
        stroke({{0.0F, 0.95F, 0.06F}, {side * 0.34F, 0.0F, 0.19F}, {0.0F, -0.95F, 0.06F}}));
    return sign;
}

Outline notehead() {
    Outline sign;
    constexpr float kTilt = 0.38F;
    sign.loops.push_back(ellipse({0.0F, 0.0F}, 0.61F, 0.475F, kTilt));
    return sign;
}

Outline half_head() {
    Outline sign = notehead();
    sign.holes.push_back(ellipse({0.0F, 0.0F}, 0.54F, 0.24F, 0.55F));
    return sign;
}

Outline whole_head() {
    Outline sign;
    sign.loops.push_back(ellipse({0.0F, 0.0F}, 0.84F, 0.50F, 0.0F));
    sign.holes.push_back(ellipse({0.0F, 0.0F}, 0.42F, 0.32F, 2.2F));
    return sign;
}

/// `up` 1 for a stem that goes up, -1 for one that goes down.
Outline flag(float up) {
    Outline sign;
    sign.loops.push_back(stroke({
        {0.06F, -0.10F * up, 0.34F},
        {0.22F, -0.74F * up, 0.30F},
        {0.66F, -1.24F * up, 0.22F},
        {0.92F, -1.82F * up, 0.15F},
        {0.78F, -2.50F * up, 0.06F},
    }));
    return sign;
}

Outline double_sharp() {
    Outline sign;
    sign.loops.push_back(slab(0.0F, 0.98F, 0.42F, -0.42F, 0.22F));
    sign.loops.push_back(slab(0.0F, 0.98F, -0.42F, 0.42F, 0.22F));
    for (const float x : {0.14F, 0.84F}) {
        for (const float y : {-0.36F, 0.36F}) {
            sign.loops.push_back({{x - 0.14F, y - 0.14F},
                                  {x + 0.14F, y - 0.14F},
                                  {x + 0.14F, y + 0.14F},
                                  {x - 0.14F, y + 0.14F}});
        }
    }
    return sign;
}

Outline double_flat() {
    Outline sign = flat(1.0F);
    const Outline other = sign;
    constexpr float kAway = 0.74F;
    const auto add = [](std::vector<std::vector<Point>>& to,
                        const std::vector<std::vector<Point>>& loops) {
        for (auto loop : loops) {
            for (Point& point : loop) {
                point.x += kAway;
            }
            to.push_back(std::move(loop));
        }
    };
    add(sign.loops, other.loops);
    add(sign.holes, other.holes);
    return sign;
}

Outline drawn(Sign sign) {
    switch (sign) {
    case Sign::treble_clef:
        return treble_clef();
    case Sign::bass_clef:
        return bass_clef();
    case Sign::notehead:
        return notehead();
    case Sign::half_head:
        return half_head();
    case Sign::whole_head:
        return whole_head();
    case Sign::flag_up:
        return flag(1.0F);
    case Sign::flag_down:
        return flag(-1.0F);
    case Sign::flat:
        return flat(1.0F);
    case Sign::natural:
        return natural();
    case Sign::sharp:
        return sharp(1.0F);
    case Sign::double_flat:
        return double_flat();
    case Sign::double_sharp:
        return double_sharp();
    case Sign::left_parenthesis:
        return parenthesis(-1.0F);
    case Sign::right_parenthesis:
        return parenthesis(1.0F);
    case Sign::bold_flat:
        return flat(kBeside);
    case Sign::bold_sharp:
        return sharp(kBeside);
    default:
        break;
    }
    if (sign < Sign::flat) {
        return rest_outline(sign);
    }
    if (sign < Sign::dot) {
        return metre_outline(sign);
    }
    return sign < Sign::letter_p ? mark_outline(sign) : letter_outline(sign);
}

Outline measured(Outline outline) {
    for (auto& hole : outline.holes) {
        set_direction(hole, false);
    }
    outline.low = {1e9F, 1e9F};
    outline.high = {-1e9F, -1e9F};
    for (auto& loop : outline.loops) {
        set_direction(loop, true);
        for (const Point& point : loop) {
            outline.low = {std::min(outline.low.x, point.x), std::min(outline.low.y, point.y)};
            outline.high = {std::max(outline.high.x, point.x), std::max(outline.high.y, point.y)};
        }
    }
    return outline;
}

} // namespace

const Outline& outline_of(Sign sign) {
    static const std::array<Outline, kSigns> kDrawn = [] {
        std::array<Outline, kSigns> drawn_signs;
        for (int i = 0; i < kSigns; ++i) {
            drawn_signs[static_cast<std::size_t>(i)] = measured(drawn(static_cast<Sign>(i)));
        }
        return drawn_signs;
    }();
    return kDrawn[static_cast<std::size_t>(sign)];
}

} // namespace bellhand::engraving
