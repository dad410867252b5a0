#pragma once

#include "engraving/outline.h"

#include <vector>

namespace bellhand::engraving {

/// A place on the path of a broad pen, with the width of the stroke there.
struct PenPlace {
    float x;
    float y;
    float width;
};

/// A smooth curve through the points, closed by a straight line.
[[nodiscard]] std::vector<Point> curve(const std::vector<Point>& points);

/// The edges of a stroke of the pen through the places.
[[nodiscard]] std::vector<Point> stroke(const std::vector<PenPlace>& places);

/// An ellipse turned by `angle`, radians.
[[nodiscard]] std::vector<Point>
ellipse(Point middle, float half_long, float half_short, float angle);

/// A bar from side to side whose ends are upright.
[[nodiscard]] std::vector<Point>
slab(float x0, float x1, float y_left, float y_right, float thickness);

/// An upright bar.
[[nodiscard]] std::vector<Point> post(float x, float y0, float y1, float thickness);

} // namespace bellhand::engraving
