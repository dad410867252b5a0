#include "desk/model/slow_closing.h"

#include "app/calibration_hearing.h"
#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

namespace {

constexpr double kHeldOpen_s = 1.0;  // then the mark sets out
constexpr double kKnown_s = 0.35;    // until the partial is known
constexpr double kAttack_s = 0.1;    // left out of the open pitch
constexpr double kBreath_s = 0.4;    // a longer silence ends the closing
constexpr double kNoTry_s = 1.5;     // a shorter tone was none
constexpr std::size_t kMost = 16384; // 87 s of hops: longer than any breath

double
median_hz(const std::vector<instrument::ClosingSample>& samples, double from_s, double to_s) {
    std::vector<double> values;
    for (const instrument::ClosingSample& sample : samples) {
        if (sample.time_s >= from_s && sample.time_s <= to_s) {
            values.push_back(sample.f0_hz);
        }
    }
    if (values.empty()) {
        return 0.0;
    }
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

} // namespace

SlowClosing::SlowClosing() {
    samples_.reserve(kMost);
    live_.reserve(kMost);
}

void SlowClosing::set_horn(double f1_hz, const horn::HandResponse& response) {
    f1_hz_ = f1_hz;
    response_ = response;
}

void SlowClosing::listen(bool yes) {
    if (yes != listening_) {
        listening_ = yes;
        clear();
    }
}

void SlowClosing::clear() noexcept {
    phase_ = Phase::waiting;
    samples_.clear();
    live_.clear();
    partial_ = 0;
}

void SlowClosing::set_pace(double pace_s) noexcept {
    pace_s_ = std::clamp(pace_s, kShortestPace_s, kLongestPace_s);
}

double SlowClosing::mark() const noexcept {
    return phase_ == Phase::waiting
               ? 0.0
               : std::clamp((last_s_ - began_s_ - kHeldOpen_s) / pace_s_, 0.0, 1.0);
}

void SlowClosing::begin(double time_s) {
    clear();
    phase_ = Phase::open;
    began_s_ = last_s_ = time_s;
}

void SlowClosing::add(const trainer::Reading& reading) {
    if (!listening_ || !(f1_hz_ > 0.0)) {
        return;
    }
    const pitch::PitchFrame& frame = reading.frame;
    if (phase_ != Phase::waiting && frame.time_s - last_s_ > kBreath_s) {
        finish();
    }
    if (!frame.voiced || !(frame.judged_hz > 0.0) || samples_.size() >= kMost) {
        return;
    }
    const double now_s = frame.judged_time_s;
    if (phase_ == Phase::waiting) {
        begin(now_s);
    }
    last_s_ = now_s;
    samples_.push_back({now_s, frame.judged_hz});
    const double age_s = now_s - began_s_;
    if (partial_ == 0 && age_s >= kKnown_s) {
        partial_ = app::first_partial(samples_, f1_hz_);
    }
    if (partial_ == 0) {
        return;
    }
    if (age_s < kHeldOpen_s) {
        open_hz_ = 0.0;
        return;
    }
    if (open_hz_ == 0.0) {
        open_hz_ = median_hz(samples_, began_s_ + kAttack_s, now_s);
    }
    phase_ = mark() < 1.0 ? Phase::closing : Phase::stopped;
    live_.push_back({mark(), cents_between(frame.judged_hz, open_hz_)});
}

void SlowClosing::fall_silent() {
    if (phase_ != Phase::waiting) {
        finish();
    }
}

void SlowClosing::finish() {
    if (last_s_ - began_s_ >= kNoTry_s) {
        const auto below =
            static_cast<std::size_t>(std::clamp(partial_ - 2, 0, horn::kPartials - 1));
        auto measured = instrument::measure_closing(
            samples_, {partial_, f1_hz_, partial_ >= 2 ? response_.open_cents[below] : 0.0});
        refused_.clear();
        if (measured) {
            result_ = std::move(*measured);
        } else {
            refused_ = measured.error().message;
        }
    }
    clear();
}

} // namespace bellhand::desk
