#include "engraving/pen.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace bellhand::engraving {

namespace {

constexpr float kPi = 3.14159265F;

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

} // namespace

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

} // namespace bellhand::engraving
