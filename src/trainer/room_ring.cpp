#include "trainer/room_ring.h"

#include <algorithm>

namespace bellhand::trainer {

namespace {

constexpr double kFall_s = 0.060;
constexpr double kNearLoud_db = 12.0;   // falls from so near to the level of the notes count
constexpr double kLoudForgets_db = 3.0; // a second
constexpr double kForgets_db = 0.2;     // a second
constexpr double kSomething_db = 5.0;   // less than this nothing has ended yet
constexpr double kAllButLoud_db = 4.0;  // nothing had fallen yet
constexpr double kStill_s = 0.120;
constexpr double kStill_db = 1.5;        // where a room of 0.8 s falls by 4.5
constexpr double kToNoise_db = 18.0;     // at least, in kFall_s: so far no such room of 0.5 s falls
constexpr double kOpenInNoise_db = 46.0; // and remembered for 50 seconds
constexpr double kOpen_db = 36.0;        // more than this no room would let through

/// The level 60 ms ago, when a fall had just ended, and now are the same: it fell as far as the noise lets it be heard,
/// and a room would still be falling.
bool still_since(const Moments& moments, std::size_t after_fall) noexcept {
    const std::size_t half = after_fall / 2;
    if (half == 0 || after_fall >= moments.known()) {
        return false;
    }
    double then_db = 0.0;
    double now_db = 0.0;
    for (std::size_t back = 0; back < half; ++back) {
        if (moments.recent(back).tone || moments.recent(half + back).tone) {
            return false;
        }
        now_db += moments.recent(back).smooth_db;
        then_db += moments.recent(half + back).smooth_db;
    }
    return (then_db - now_db) / static_cast<double>(half) < kStill_db;
}

} // namespace

void RoomRing::hear(const Moments& moments) noexcept {
    if (moments.known() < 2) {
        return;
    }
    const Moment& now = moments.recent(0);
    const double step_s = now.time_s - moments.recent(1).time_s;
    if (!(step_s > 0.0)) {
        return;
    }
    loud_db_ -= kLoudForgets_db * step_s;
    if (now.sure) {
        loud_db_ = std::max(loud_db_, now.smooth_db);
    }
    steepest_db_ = std::max(0.0, steepest_db_ - kForgets_db * step_s);
    const auto back = static_cast<std::size_t>(kFall_s / step_s + 0.5);
    if (back < moments.known() && moments.recent(back).sure &&
        moments.recent(back).smooth_db > loud_db_ - kNearLoud_db) {
        steepest_db_ = std::max(steepest_db_, moments.recent(back).smooth_db - now.smooth_db);
    }
    // In a noisy place the noise ends the fall before it is as deep.
    const auto still = static_cast<std::size_t>(kStill_s / step_s + 0.5);
    if (still + back < moments.known() && moments.recent(still + back).sure &&
        moments.recent(still + back).smooth_db > loud_db_ - kAllButLoud_db &&
        moments.recent(still + back).smooth_db - moments.recent(still).smooth_db > kToNoise_db &&
        now.smooth_db > loud_db_ - kOpen_db && still_since(moments, still)) {
        steepest_db_ = std::max(steepest_db_, kOpenInNoise_db);
    }
}

bool RoomRing::rings() const noexcept {
    return steepest_db_ >= kSomething_db && !open();
}

bool RoomRing::open() const noexcept {
    return steepest_db_ >= kOpen_db;
}

} // namespace bellhand::trainer
