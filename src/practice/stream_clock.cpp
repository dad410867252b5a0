#include "practice/stream_clock.h"

#include <algorithm>

namespace bellhand::practice {

void StreamClock::see(double stream_s, double clock_s) noexcept {
    if (began_s_ == kNone) {
        began_s_ = stream_s;
        turns_s_ = stream_s + kSettle_s + kStretch_s;
    }
    newest_s_ = stream_s;
    if (stream_s < began_s_ + kSettle_s) {
        return;
    }
    if (stream_s >= turns_s_) {
        turns_s_ = stream_s + kStretch_s;
        least_ = {least_[1], kNone};
    }
    least_[1] = std::min(least_[1], clock_s - stream_s);
}

bool StreamClock::known() const noexcept {
    return began_s_ != kNone && newest_s_ >= began_s_ + kSettle_s + kEnough_s;
}

double StreamClock::offset_s() const noexcept {
    return std::min(least_[0], least_[1]);
}

} // namespace bellhand::practice
