#include "engraving/skyline.h"

#include <algorithm>

namespace bellhand::engraving {

float Skyline::above(float left, float right) const noexcept {
    float high = 4.0F;
    for (const Box& box : boxes_) {
        if (box.right > left && box.left < right) {
            high = std::max(high, box.high);
        }
    }
    return high;
}

float Skyline::below(float left, float right) const noexcept {
    float low = 0.0F;
    for (const Box& box : boxes_) {
        if (box.right > left && box.left < right) {
            low = std::min(low, box.low);
        }
    }
    return low;
}

} // namespace bellhand::engraving
