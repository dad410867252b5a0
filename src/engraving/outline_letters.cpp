#include "engraving/outline_parts.h"
#include "engraving/pen.h"

namespace bellhand::engraving {

namespace {

// Bold slanted letters of dynamics, on their baseline; small letters are 1.1 spaces high.

Outline letter_p() {
    Outline sign;
    sign.loops.push_back(stroke({{0.02F, 0.62F, 0.06F},
                                 {0.18F, 0.98F, 0.12F},
                                 {0.40F, 1.02F, 0.22F},
                                 {0.50F, 0.70F, 0.30F},
                                 {0.30F, 0.06F, 0.32F},
                                 {0.10F, -0.50F, 0.32F}}));
    sign.loops.push_back(slab(-0.26F, 0.46F, -0.52F, -0.52F, 0.10F));
    sign.loops.push_back(stroke({{0.48F, 0.56F, 0.10F},
                                 {0.74F, 0.96F, 0.18F},
                                 {1.02F, 1.00F, 0.22F},
                                 {1.20F, 0.66F, 0.34F},
                                 {1.02F, 0.20F, 0.28F},
                                 {0.68F, 0.02F, 0.14F},
                                 {0.42F, 0.16F, 0.10F}}));
    return sign;
}

Outline letter_f() {
    Outline sign;
    sign.loops.push_back(ellipse({1.26F, 1.44F}, 0.17F, 0.17F, 0.0F));
    sign.loops.push_back(stroke({{1.40F, 1.48F, 0.08F},
                                 {1.22F, 1.70F, 0.12F},
                                 {0.94F, 1.58F, 0.22F},
                                 {0.72F, 1.00F, 0.32F},
                                 {0.52F, 0.26F, 0.34F},
                                 {0.26F, -0.34F, 0.24F},
                                 {-0.06F, -0.54F, 0.12F},
                                 {-0.26F, -0.32F, 0.08F}}));
    sign.loops.push_back(ellipse({-0.14F, -0.30F}, 0.17F, 0.17F, 0.0F));
    sign.loops.push_back(slab(0.18F, 1.20F, 1.02F, 1.02F, 0.14F));
    return sign;
}

/// A stem of m, r or the like, from the baseline to the height of small letters.
std::vector<Point> leaning(float x) {
    return stroke({{x + 0.28F, 1.04F, 0.28F}, {x + 0.16F, 0.54F, 0.30F}, {x, 0.0F, 0.30F}});
}

Outline letter_m() {
    Outline sign;
    sign.loops.push_back(
        stroke({{0.0F, 0.72F, 0.06F}, {0.16F, 0.98F, 0.12F}, {0.40F, 0.98F, 0.20F}}));
    for (const float x : {0.12F, 0.66F, 1.20F}) {
        sign.loops.push_back(leaning(x));
    }
    for (const float x : {0.30F, 0.84F}) {
        sign.loops.push_back(
            stroke({{x, 0.44F, 0.08F}, {x + 0.30F, 0.94F, 0.12F}, {x + 0.58F, 0.98F, 0.20F}}));
    }
    sign.loops.push_back(
        stroke({{1.20F, 0.06F, 0.20F}, {1.46F, 0.06F, 0.12F}, {1.66F, 0.34F, 0.06F}}));
    return sign;
}

Outline letter_s() {
    Outline sign;
    sign.loops.push_back(ellipse({0.76F, 0.82F}, 0.14F, 0.14F, 0.0F));
    sign.loops.push_back(ellipse({0.16F, 0.22F}, 0.15F, 0.15F, 0.0F));
    sign.loops.push_back(stroke({{0.90F, 0.84F, 0.08F},
                                 {0.68F, 1.02F, 0.12F},
                                 {0.36F, 0.90F, 0.22F},
                                 {0.46F, 0.62F, 0.28F},
                                 {0.70F, 0.38F, 0.28F},
                                 {0.60F, 0.10F, 0.20F},
                                 {0.30F, 0.02F, 0.12F},
                                 {0.04F, 0.20F, 0.08F}}));
    return sign;
}

Outline letter_z() {
    Outline sign;
    sign.loops.push_back(stroke({{0.12F, 0.70F, 0.08F},
                                 {0.28F, 0.98F, 0.16F},
                                 {0.62F, 0.86F, 0.26F},
                                 {0.96F, 1.02F, 0.10F}}));
    sign.loops.push_back(
        stroke({{0.94F, 1.00F, 0.10F}, {0.50F, 0.52F, 0.12F}, {0.04F, 0.04F, 0.10F}}));
    sign.loops.push_back(stroke({{0.04F, 0.04F, 0.12F},
                                 {0.32F, 0.22F, 0.24F},
                                 {0.66F, 0.04F, 0.24F},
                                 {0.88F, 0.14F, 0.16F},
                                 {0.94F, 0.40F, 0.08F}}));
    return sign;
}

Outline letter_r() {
    Outline sign;
    sign.loops.push_back(
        stroke({{0.0F, 0.72F, 0.06F}, {0.16F, 0.98F, 0.12F}, {0.40F, 0.98F, 0.20F}}));
    sign.loops.push_back(leaning(0.12F));
    sign.loops.push_back(
        stroke({{0.34F, 0.48F, 0.08F}, {0.60F, 0.92F, 0.12F}, {0.84F, 0.98F, 0.18F}}));
    sign.loops.push_back(ellipse({0.86F, 0.84F}, 0.17F, 0.17F, 0.0F));
    return sign;
}

Outline letter_t() {
    Outline sign;
    sign.loops.push_back(stroke({{0.62F, 1.50F, 0.22F},
                                 {0.42F, 0.86F, 0.30F},
                                 {0.24F, 0.26F, 0.30F},
                                 {0.36F, 0.04F, 0.18F},
                                 {0.62F, 0.20F, 0.06F}}));
    sign.loops.push_back(slab(0.10F, 0.86F, 1.02F, 1.02F, 0.12F));
    return sign;
}

} // namespace

Outline letter_outline(Sign sign) {
    switch (sign) {
    case Sign::letter_p:
        return letter_p();
    case Sign::letter_f:
        return letter_f();
    case Sign::letter_m:
        return letter_m();
    case Sign::letter_s:
        return letter_s();
    case Sign::letter_z:
        return letter_z();
    case Sign::letter_t:
        return letter_t();
    default:
        return letter_r();
    }
}

} // namespace bellhand::engraving
