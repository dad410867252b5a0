#include "engraving/outline.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace bellhand::engraving {

namespace {

constexpr float kPi = 3.14159265F;
constexpr float kBeside =
    1.75F; // how much bolder an accidental is beside a bold letter than on the staff

/// A place on the path of a broad pen, with the width of the stroke there.
struct PenPlace {
    float x;
    float y;
    float width;
};

PenPlace
spline(const PenPlace& a, const PenPlace& b, const PenPlace& c, const PenPlace& d, float t) {
    // Centripetal shape is not needed: the places are evenly spread (uniform Catmull-Rom, 1974).
    const auto mix = [t](float p, float q, float r, float s) {
        return 0.5F * (2.0F * q + (r - p) * t + (2.0F * p - 5.0F * q + 4.0F * r - s) * t * t +
                       (3.0F * q - p - 3.0F * r + s) * t * t * t);
    };
    return {
        mix(a.x, b.x, c.x, d.x), mix(a.y, b.y, c.y, d.y), mix(a.width, b.width, c.width, d.width)};
}

/// The places with enough between them for a smooth curve.
std::vector<PenPlace> refined(const std::vector<PenPlace>& places) {
    constexpr int kPieces = 14;
    std::vector<PenPlace> fine;
    for (std::size_t i = 0; i + 1 < places.size(); ++i) {
        const PenPlace& before = places[i == 0 ? 0 : i - 1];
        const PenPlace& after = places[std::min(i + 2, places.size() - 1)];
        for (int piece = 0; piece < kPieces; ++piece) {
            fine.push_back(spline(before,
                                  places[i],
                                  places[i + 1],
                                  after,
                                  static_cast<float>(piece) / static_cast<float>(kPieces)));
        }
    }
    fine.push_back(places.back());
    return fine;
}

/// A smooth curve through the points, closed by a straight line.
std::vector<Point> curve(const std::vector<Point>& points) {
    std::vector<PenPlace> places;
    for (const Point& point : points) {
        places.push_back({point.x, point.y, 0.0F});
    }
    std::vector<Point> loop;
    for (const PenPlace& place : refined(places)) {
        loop.push_back({place.x, place.y});
    }
    return loop;
}

/// Two edges of a stroke that follows the places.
std::vector<Point> stroke(const std::vector<PenPlace>& places) {
    const std::vector<PenPlace> fine = refined(places);
    std::vector<Point> left;
    std::vector<Point> right;
    for (std::size_t i = 0; i < fine.size(); ++i) {
        const PenPlace& before = fine[i == 0 ? 0 : i - 1];
        const PenPlace& after = fine[std::min(i + 1, fine.size() - 1)];
        const float dx = after.x - before.x;
        const float dy = after.y - before.y;
        const float length = std::max(1e-6F, std::hypot(dx, dy));
        const float half = 0.5F * fine[i].width;
        left.push_back({fine[i].x - dy / length * half, fine[i].y + dx / length * half});
        right.push_back({fine[i].x + dy / length * half, fine[i].y - dx / length * half});
    }
    left.insert(left.end(), right.rbegin(), right.rend());
    return left;
}

/// An ellipse turned by `angle`.
std::vector<Point> ellipse(Point middle, float half_long, float half_short, float angle) {
    constexpr int kCorners = 64;
    std::vector<Point> loop;
    for (int i = 0; i < kCorners; ++i) {
        const float turn = 2.0F * kPi * static_cast<float>(i) / static_cast<float>(kCorners);
        const float x = half_long * std::cos(turn);
        const float y = half_short * std::sin(turn);
        loop.push_back({middle.x + x * std::cos(angle) - y * std::sin(angle),
                        middle.y + x * std::sin(angle) + y * std::cos(angle)});
    }
    return loop;
}

std::vector<Point> slab(float x0, float x1, float y_left, float y_right, float thickness) {
    const float half = 0.5F * thickness;
    return {{x0, y_left - half}, {x1, y_right - half}, {x1, y_right + half}, {x0, y_left + half}};
}

std::vector<Point> post(float x, float y0, float y1, float thickness) {
    const float half = 0.5F * thickness;
    return {{x - half, y0}, {x + half, y0}, {x + half, y1}, {x - half, y1}};
}

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
    constexpr float kTilt = 0.36F;
    sign.loops.push_back(ellipse({0.0F, 0.0F}, 0.66F, 0.43F, kTilt));
    return sign;
}

Outline half_head() {
    Outline sign = notehead();
    sign.holes.push_back(ellipse({0.0F, 0.0F}, 0.57F, 0.22F, 0.50F));
    return sign;
}

Outline whole_head() {
    Outline sign;
    sign.loops.push_back(ellipse({0.0F, 0.0F}, 0.86F, 0.46F, 0.0F));
    sign.holes.push_back(ellipse({0.0F, 0.0F}, 0.38F, 0.31F, 2.2F));
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

Outline eighth_rest() {
    Outline sign;
    sign.loops.push_back(ellipse({-0.24F, 0.58F}, 0.25F, 0.25F, 0.0F));
    sign.loops.push_back(stroke({
        {-0.30F, 0.42F, 0.12F},
        {0.06F, 0.34F, 0.13F},
        {0.44F, 0.72F, 0.12F},
    }));
    sign.loops.push_back(stroke({
        {0.44F, 0.74F, 0.13F},
        {0.24F, 0.0F, 0.14F},
        {0.04F, -0.70F, 0.15F},
        {-0.04F, -1.0F, 0.15F},
    }));
    return sign;
}

} // namespace

Outline outline_of(Sign sign) {
    Outline outline;
    switch (sign) {
    case Sign::treble_clef:
        outline = treble_clef();
        break;
    case Sign::bass_clef:
        outline = bass_clef();
        break;
    case Sign::notehead:
        outline = notehead();
        break;
    case Sign::half_head:
        outline = half_head();
        break;
    case Sign::whole_head:
        outline = whole_head();
        break;
    case Sign::flag_up:
        outline = flag(1.0F);
        break;
    case Sign::flag_down:
        outline = flag(-1.0F);
        break;
    case Sign::quarter_rest:
        outline = quarter_rest();
        break;
    case Sign::eighth_rest:
        outline = eighth_rest();
        break;
    case Sign::flat:
        outline = flat(1.0F);
        break;
    case Sign::natural:
        outline = natural();
        break;
    case Sign::sharp:
        outline = sharp(1.0F);
        break;
    case Sign::left_parenthesis:
        outline = parenthesis(-1.0F);
        break;
    case Sign::right_parenthesis:
        outline = parenthesis(1.0F);
        break;
    case Sign::bold_flat:
        outline = flat(kBeside);
        break;
    case Sign::bold_sharp:
        outline = sharp(kBeside);
        break;
    }
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

} // namespace bellhand::engraving
