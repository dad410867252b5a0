#include "desk/model/balance_ear.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>
#include <span>

namespace bellhand::desk {

namespace {

constexpr double kHole_s = 0.1;       // a longer one ends the tone
constexpr double kLeap_cents = 150.0; // from hop to hop: another note of the lips
constexpr double kAttack_s = 0.15;    // left out
constexpr double kRelease_s = 0.1;
constexpr std::size_t kMost = 16384; // 87 s of hops: longer than any breath

} // namespace

BalanceEar::BalanceEar() {
    points_.reserve(kMost);
}

void BalanceEar::listen(bool yes) {
    if (yes != listening_) {
        listening_ = yes;
        points_.clear();
    }
}

void BalanceEar::clear() {
    points_.clear();
    tone_.reset();
    tones_ = 0;
}

void BalanceEar::add(const trainer::Reading& reading) {
    if (!listening_) {
        return;
    }
    const pitch::PitchFrame& frame = reading.frame;
    if (!points_.empty() && frame.time_s - points_.back().time_s > kHole_s) {
        finish();
    }
    if (!frame.voiced || frame.doubtful || !(frame.judged_hz > 0.0) || points_.size() >= kMost) {
        return;
    }
    if (points_.empty()) {
        first_hz_ = frame.judged_hz;
    }
    const double cents = cents_between(frame.judged_hz, first_hz_);
    if (!points_.empty() && std::fabs(cents - points_.back().cents) > kLeap_cents) {
        finish();
        first_hz_ = frame.judged_hz;
        points_.push_back({frame.judged_time_s, 0.0, frame.judged_sd_cents});
        return;
    }
    if (points_.empty() || frame.judged_time_s > points_.back().time_s) {
        points_.push_back({frame.judged_time_s, cents, frame.judged_sd_cents});
    }
}

void BalanceEar::finish() {
    if (points_.empty()) {
        return;
    }
    const double from_s = points_.front().time_s + kAttack_s;
    const double to_s = points_.back().time_s - kRelease_s;
    const auto before = [](const pitch::PitchPoint& point, double time_s) {
        return point.time_s < time_s;
    };
    const auto first = std::lower_bound(points_.begin(), points_.end(), from_s, before);
    const auto last = std::lower_bound(first, points_.end(), to_s, before);
    hand::Balance balance = hand::balance_of(std::span(first, last), quiet_cents_);
    if (balance.known) {
        tone_ = BalanceTone{
            tones_++, points_.front().time_s, to_s - points_.front().time_s, std::move(balance)};
    }
    points_.clear();
}

} // namespace bellhand::desk
