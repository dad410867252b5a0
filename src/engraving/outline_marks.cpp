#include "engraving/outline_parts.h"
#include "engraving/pen.h"

namespace bellhand::engraving {

namespace {

Outline fermata() {
    Outline sign;
    sign.loops.push_back(stroke({
        {-1.17F, 0.02F, 0.06F},
        {-1.00F, 0.66F, 0.20F},
        {-0.48F, 1.10F, 0.26F},
        {0.0F, 1.19F, 0.28F},
        {0.48F, 1.10F, 0.26F},
        {1.00F, 0.66F, 0.20F},
        {1.17F, 0.02F, 0.06F},
    }));
    sign.loops.push_back(ellipse({0.0F, 0.22F}, 0.22F, 0.22F, 0.0F));
    return sign;
}

Outline accent() {
    Outline sign;
    sign.loops.push_back(slab(-0.68F, 0.68F, 0.92F, 0.50F, 0.14F));
    sign.loops.push_back(slab(-0.68F, 0.68F, 0.08F, 0.50F, 0.14F));
    return sign;
}

Outline segno() {
    Outline sign;
    sign.loops.push_back(stroke({
        {0.50F, 2.22F, 0.14F},
        {0.14F, 2.62F, 0.18F},
        {-0.40F, 2.56F, 0.24F},
        {-0.62F, 2.08F, 0.34F},
        {-0.20F, 1.66F, 0.40F},
        {0.30F, 1.26F, 0.40F},
        {0.62F, 0.84F, 0.34F},
        {0.40F, 0.36F, 0.24F},
        {-0.14F, 0.30F, 0.18F},
        {-0.50F, 0.70F, 0.14F},
    }));
    sign.loops.push_back(slab(-0.98F, 0.98F, 0.30F, 2.62F, 0.20F));
    sign.loops.push_back(ellipse({-0.86F, 1.22F}, 0.18F, 0.18F, 0.0F));
    sign.loops.push_back(ellipse({0.86F, 1.70F}, 0.18F, 0.18F, 0.0F));
    return sign;
}

Outline coda() {
    Outline sign;
    sign.loops.push_back(ellipse({0.0F, 1.40F}, 0.86F, 1.08F, 0.0F));
    sign.holes.push_back(ellipse({0.0F, 1.40F}, 0.56F, 0.94F, 0.0F));
    sign.loops.push_back(slab(-1.30F, 1.30F, 1.40F, 1.40F, 0.16F));
    sign.loops.push_back(post(0.0F, 0.0F, 2.80F, 0.16F));
    return sign;
}

} // namespace

Outline mark_outline(Sign sign) {
    Outline outline;
    switch (sign) {
    case Sign::fermata:
        return fermata();
    case Sign::accent:
        return accent();
    case Sign::segno:
        return segno();
    case Sign::coda:
        return coda();
    default: // Sign::dot
        outline.loops.push_back(ellipse({0.0F, 0.0F}, 0.2F, 0.2F, 0.0F));
        return outline;
    }
}

} // namespace bellhand::engraving
