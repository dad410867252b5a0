#include "trainer/room_ring.h"

#include <algorithm>

namespace bellhand::trainer {

namespace {

constexpr double kFall_s = 0.060;
constexpr double kNearLoud_db = 12.0;   // falls from so near to the level of the notes count
constexpr double kLoudForgets_db = 3.0; // a second
constexpr double kForgets_db = 0.2;     // a second
constexpr double kSomething_db = 5.0;   // less than this nothing has ended yet
constexpr double kOpen_db = 36.0;       // more than this no room would let through

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
}

bool RoomRing::rings() const noexcept {
    return steepest_db_ >= kSomething_db && !open();
}

bool RoomRing::open() const noexcept {
    return steepest_db_ >= kOpen_db;
}

} // namespace bellhand::trainer
