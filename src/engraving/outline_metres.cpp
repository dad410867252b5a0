#include "engraving/outline_parts.h"
#include "engraving/pen.h"

namespace bellhand::engraving {

namespace {

// Figures are two spaces high around their middle, cut bold with thin joins.

void add_stroke(Outline& sign, const std::vector<PenPlace>& places) {
    sign.loops.push_back(stroke(places));
}

Outline zero() {
    Outline sign;
    sign.loops.push_back(ellipse({0.84F, 0.0F}, 0.80F, 1.0F, 0.0F));
    sign.holes.push_back(ellipse({0.84F, 0.0F}, 0.32F, 0.84F, 0.0F));
    return sign;
}

Outline one() {
    Outline sign;
    sign.loops.push_back(post(0.70F, -0.95F, 1.0F, 0.46F));
    sign.loops.push_back({{0.93F, 1.0F}, {0.60F, 1.0F}, {0.10F, 0.12F}, {0.24F, 0.12F}});
    sign.loops.push_back(slab(0.22F, 1.18F, -0.94F, -0.94F, 0.12F));
    return sign;
}

Outline two() {
    Outline sign;
    sign.loops.push_back(ellipse({0.42F, 0.42F}, 0.26F, 0.26F, 0.0F));
    add_stroke(sign,
               {{0.20F, 0.46F, 0.10F},
                {0.36F, 0.82F, 0.16F},
                {0.82F, 0.88F, 0.24F},
                {1.18F, 0.48F, 0.48F},
                {0.90F, 0.02F, 0.36F},
                {0.42F, -0.40F, 0.16F},
                {0.18F, -0.82F, 0.10F}});
    add_stroke(sign,
               {{0.14F, -0.90F, 0.16F},
                {0.50F, -0.58F, 0.30F},
                {0.98F, -0.78F, 0.42F},
                {1.36F, -0.66F, 0.22F},
                {1.52F, -0.34F, 0.10F}});
    return sign;
}

Outline three() {
    Outline sign;
    sign.loops.push_back(ellipse({0.36F, 0.52F}, 0.25F, 0.25F, 0.0F));
    sign.loops.push_back(ellipse({0.36F, -0.52F}, 0.27F, 0.27F, 0.0F));
    add_stroke(sign,
               {{0.14F, 0.56F, 0.10F},
                {0.34F, 0.86F, 0.16F},
                {0.80F, 0.88F, 0.22F},
                {1.12F, 0.52F, 0.46F},
                {0.88F, 0.12F, 0.20F},
                {0.52F, 0.04F, 0.10F}});
    add_stroke(sign,
               {{0.52F, 0.04F, 0.10F},
                {0.92F, -0.06F, 0.22F},
                {1.22F, -0.48F, 0.50F},
                {0.84F, -0.88F, 0.24F},
                {0.34F, -0.86F, 0.16F},
                {0.12F, -0.56F, 0.10F}});
    return sign;
}

Outline four() {
    Outline sign;
    sign.loops.push_back(post(1.10F, -0.95F, 0.52F, 0.44F));
    sign.loops.push_back({{0.44F, 1.0F}, {1.20F, 1.0F}, {0.22F, -0.40F}, {0.06F, -0.40F}});
    sign.loops.push_back(slab(0.06F, 1.62F, -0.36F, -0.36F, 0.16F));
    sign.loops.push_back(slab(0.68F, 1.54F, -0.94F, -0.94F, 0.12F));
    return sign;
}

Outline five() {
    Outline sign;
    sign.loops.push_back({{0.18F, 1.0F},
                          {0.60F, 0.93F},
                          {1.20F, 1.0F},
                          {1.30F, 0.98F},
                          {1.02F, 0.62F},
                          {0.66F, 0.54F},
                          {0.28F, 0.62F}});
    sign.loops.push_back(post(0.23F, -0.02F, 0.98F, 0.12F));
    sign.loops.push_back(ellipse({0.36F, -0.52F}, 0.27F, 0.27F, 0.0F));
    add_stroke(sign,
               {{0.20F, 0.04F, 0.10F},
                {0.48F, 0.22F, 0.14F},
                {0.88F, 0.16F, 0.26F},
                {1.18F, -0.32F, 0.50F},
                {0.84F, -0.86F, 0.26F},
                {0.34F, -0.86F, 0.16F},
                {0.12F, -0.56F, 0.10F}});
    return sign;
}

Outline six() {
    Outline sign;
    sign.loops.push_back(ellipse({1.14F, 0.52F}, 0.25F, 0.25F, 0.0F));
    add_stroke(sign,
               {{1.36F, 0.56F, 0.10F},
                {1.14F, 0.88F, 0.16F},
                {0.74F, 0.84F, 0.26F},
                {0.36F, 0.10F, 0.46F},
                {0.50F, -0.60F, 0.36F},
                {0.86F, -0.90F, 0.18F}});
    sign.loops.push_back(ellipse({0.88F, -0.42F}, 0.66F, 0.57F, 0.0F));
    sign.holes.push_back(ellipse({0.86F, -0.42F}, 0.26F, 0.45F, 0.0F));
    return sign;
}

Outline turned(Outline sign, Point middle) {
    const auto turn = [middle](std::vector<std::vector<Point>>& loops) {
        for (auto& loop : loops) {
            for (Point& point : loop) {
                point = {2.0F * middle.x - point.x, 2.0F * middle.y - point.y};
            }
        }
    };
    turn(sign.loops);
    turn(sign.holes);
    return sign;
}

Outline seven() {
    Outline sign;
    sign.loops.push_back(post(0.20F, 0.30F, 1.0F, 0.12F));
    add_stroke(sign,
               {{0.16F, 0.50F, 0.12F},
                {0.44F, 0.80F, 0.36F},
                {0.88F, 0.68F, 0.36F},
                {1.24F, 0.80F, 0.22F},
                {1.44F, 0.98F, 0.08F}});
    add_stroke(sign,
               {{1.42F, 0.96F, 0.08F},
                {1.20F, 0.40F, 0.16F},
                {0.86F, -0.20F, 0.34F},
                {0.76F, -1.0F, 0.50F}});
    return sign;
}

Outline eight() {
    Outline sign;
    sign.loops.push_back(ellipse({0.80F, 0.52F}, 0.62F, 0.48F, 0.0F));
    sign.holes.push_back(ellipse({0.88F, 0.56F}, 0.34F, 0.28F, -0.5F));
    sign.loops.push_back(ellipse({0.80F, -0.46F}, 0.74F, 0.54F, 0.0F));
    sign.holes.push_back(ellipse({0.70F, -0.52F}, 0.42F, 0.28F, -0.5F));
    return sign;
}

Outline common() {
    Outline sign;
    sign.loops.push_back(ellipse({1.26F, 0.46F}, 0.28F, 0.28F, 0.0F));
    add_stroke(sign,
               {{1.52F, 0.52F, 0.10F},
                {1.26F, 0.88F, 0.16F},
                {0.82F, 0.92F, 0.16F},
                {0.36F, 0.52F, 0.38F},
                {0.26F, 0.0F, 0.46F},
                {0.36F, -0.52F, 0.38F},
                {0.82F, -0.92F, 0.16F},
                {1.28F, -0.84F, 0.14F},
                {1.56F, -0.40F, 0.10F}});
    return sign;
}

Outline plus() {
    Outline sign;
    sign.loops.push_back(slab(0.10F, 1.10F, 0.0F, 0.0F, 0.20F));
    sign.loops.push_back(post(0.60F, -0.50F, 0.50F, 0.20F));
    return sign;
}

} // namespace

Outline metre_outline(Sign sign) {
    switch (sign) {
    case Sign::figure_0:
        return zero();
    case Sign::figure_1:
        return one();
    case Sign::figure_2:
        return two();
    case Sign::figure_3:
        return three();
    case Sign::figure_4:
        return four();
    case Sign::figure_5:
        return five();
    case Sign::figure_6:
        return six();
    case Sign::figure_7:
        return seven();
    case Sign::figure_8:
        return eight();
    case Sign::figure_9:
        return turned(six(), {0.80F, 0.0F});
    case Sign::figure_plus:
        return plus();
    case Sign::cut_time: {
        Outline cut = common();
        cut.loops.push_back(post(0.86F, -1.44F, 1.44F, 0.14F));
        return cut;
    }
    default:
        return common();
    }
}

} // namespace bellhand::engraving
