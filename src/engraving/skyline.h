#pragma once

#include "engraving/layout.h"

#include <vector>

namespace bellhand::engraving {

/// What stands over or under a staff so far, so that the next thing finds its height.
class Skyline {
public:
    void add(const Box& box) { boxes_.push_back(box); }

    /// The highest ink over this stretch; at least the top line.
    [[nodiscard]] float above(float left, float right) const noexcept;
    /// The lowest ink under it; at most the bottom line.
    [[nodiscard]] float below(float left, float right) const noexcept;

private:
    std::vector<Box> boxes_;
};

} // namespace bellhand::engraving
