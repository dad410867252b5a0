#include "trainer/held_motion.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr std::size_t kPoints = 4096;
constexpr double kAttack_s = 0.100;
constexpr double kRelease_s = 0.030;
constexpr double kMost_s = 8.0;

} // namespace

HeldMotion::HeldMotion() : points_(kPoints) {
    held_.reserve(kPoints);
}

void HeldMotion::add(const Reading& reading) noexcept {
    const pitch::PitchFrame& frame = reading.frame;
    if (!frame.voiced || frame.doubtful || !(frame.judged_hz > 0.0)) {
        return;
    }
    points_[count_ % kPoints] = {
        frame.judged_time_s, cents_between(frame.judged_hz, 1.0), frame.judged_sd_cents};
    ++count_;
}

pitch::PitchMotion HeldMotion::of(const PlayedNote& note) noexcept {
    const double end_s = note.start_s + note.duration_s - kRelease_s;
    const double begin_s = std::max(note.start_s + kAttack_s, end_s - kMost_s);
    held_.clear();
    const std::size_t kept = std::min(count_, kPoints);
    for (std::size_t i = 0; i < kept; ++i) {
        const pitch::PitchPoint& point = points_[(count_ - kept + i) % kPoints];
        const bool in_order = held_.empty() || point.time_s > held_.back().time_s;
        if (point.time_s >= begin_s && point.time_s <= end_s && in_order) {
            held_.push_back(point);
        }
    }
    return pitch::pitch_motion(held_);
}

} // namespace bellhand::trainer
