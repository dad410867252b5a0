#pragma once

#include "practice/stream_clock.h"

namespace bellhand::desk {

/// Ties the seconds of an input to the window's, which all inputs share. An input's own seconds are seconds of sound:
/// they stand still while its device is away, and after that it is tied anew.
class InputClock {
public:
    /// Once a frame: how much that input has heard.
    void see(double heard_s, double wall_s) noexcept {
        constexpr double kAway_s = 0.5;
        if (heard_s <= heard_s_) {
            return;
        }
        const bool back = wall_s - moved_at_s_ > kAway_s;
        if (back) {
            clock_.reset();
        }
        clock_.see(heard_s, wall_s);
        if (clock_.known()) {
            later_s_ = clock_.offset_s();
        } else if (back) {
            later_s_ = wall_s - heard_s; // late by what a device holds back at first: a few tenths
        }
        heard_s_ = heard_s;
        moved_at_s_ = wall_s;
    }
    /// What is added to its seconds to get those of the window.
    [[nodiscard]] double later_s() const noexcept { return later_s_; }

private:
    practice::StreamClock clock_;
    double heard_s_ = -1.0;
    double moved_at_s_ = -1e9;
    double later_s_ = 0.0;
};

} // namespace bellhand::desk
