#include "pitch/decay.h"

#include <algorithm>
#include <cmath>

namespace bellhand::pitch {

namespace {

constexpr double kForget_db_s =
    12.0; // slower than any room, faster than players forget their last note
constexpr double kSofter = 0.063; // 12 dB under what was loud
constexpr double kFalling = 0.8;  // 1 dB within kFall hops: a room that rings for 1.2 s falls by 2
constexpr double kFaint = 1e-3;   // 30 dB under what was loud
constexpr int kLooksWhenFaint = 2;

} // namespace

Decay::Decay(double hop_s) noexcept : fade_(std::pow(10.0, -0.1 * kForget_db_s * hop_s)) {}

void Decay::hear(double power) noexcept {
    std::copy_backward(recent_.begin(), recent_.end() - 1, recent_.end());
    recent_[0] = power;
    loud_ = std::max(loud_ * fade_, mean(0));
}

double Decay::mean(std::size_t back) const noexcept {
    double sum = 0.0;
    for (std::size_t i = 0; i < kMean; ++i)
        sum += recent_[back + i];
    return sum / static_cast<double>(kMean);
}

bool Decay::hides(int agreed) const noexcept {
    const double now = mean(0);
    if (now < kFaint * loud_)
        return agreed < kLooksWhenFaint;
    const bool falls = now < kFalling * mean(kHops - kMean);
    return agreed == 0 && falls && soft();
}

bool Decay::soft() const noexcept {
    return mean(0) < kSofter * loud_;
}

void Decay::forget() noexcept {
    recent_.fill(0.0);
    loud_ = 0.0;
}

} // namespace bellhand::pitch
