#include "practice/click_finder.h"

#include "audio/reference_player.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace bellhand::practice {

namespace {

constexpr double kTemplate_s = 0.03;
constexpr float kStandsOut = 5.0F; // times the median of the stretch that is searched
constexpr float kFirstShare = 0.4F;
constexpr std::size_t kEnough = 3;
constexpr std::size_t kLags = static_cast<std::size_t>(ClickFinder::kLongestWay_s / 0.0005);

} // namespace

void ClickFinder::reset_sound(double sample_rate_hz) noexcept {
    rate_hz_ = sample_rate_hz;
    for (std::size_t i = 0; i < pitch_.size(); ++i) {
        const double hz = i == 0 ? audio::kBeatHz : audio::kBarHz;
        const double angle = -2.0 * std::numbers::pi * hz / rate_hz_;
        pitch_[i].at = {1.0, 0.0};
        pitch_[i].step = {std::cos(angle), std::sin(angle)};
        pitch_[i].sum = {};
    }
    step_samples_ = kStep_s * rate_hz_;
    steps_ = 0;
    begun_ = false;
    expected_count_ = 0;
}

void ClickFinder::reset_way() noexcept {
    expected_count_ = ways_count_ = next_way_ = 0;
    known_ = false;
}

void ClickFinder::expect(double written_s, bool first_of_bar) noexcept {
    if (expected_count_ == kExpected) { // nobody captures: the oldest are not waited for
        std::move(expected_.begin() + 1, expected_.end(), expected_.begin());
        --expected_count_;
    }
    expected_[expected_count_++] = {written_s, first_of_bar};
}

void ClickFinder::hear(std::span<const float> samples, double start_s) noexcept {
    if (!begun_) {
        begun_ = true;
        began_s_ = start_s;
    }
    for (const float sample : samples) {
        for (Pitch& pitch : pitch_) {
            pitch.sum += static_cast<double>(sample) * pitch.at;
            pitch.at *= pitch.step;
        }
        step_samples_ -= 1.0;
        if (step_samples_ > 0.0) {
            continue;
        }
        step_samples_ += kStep_s * rate_hz_;
        for (Pitch& pitch : pitch_) {
            pitch.steps[steps_ % kSteps] = Complex(pitch.sum);
            pitch.sum = {};
            pitch.at /= std::abs(pitch.at); // rounding would make it grow or shrink over hours
        }
        ++steps_;
    }
    const double now_s = began_s_ + static_cast<double>(steps_) * kStep_s;
    while (expected_count_ > 0 &&
           expected_.front().written_s + kLongestWay_s + kTemplate_s + kStep_s < now_s) {
        look(expected_.front());
        std::move(expected_.begin() + 1,
                  expected_.begin() + static_cast<std::ptrdiff_t>(expected_count_),
                  expected_.begin());
        --expected_count_;
    }
}

void ClickFinder::look(const Expected& click) noexcept {
    const double place = (click.written_s - began_s_) / kStep_s;
    constexpr auto kShape = static_cast<std::size_t>(kTemplate_s / kStep_s);
    if (place < 0.0 || static_cast<double>(steps_) - place > static_cast<double>(kSteps)) {
        return;
    }
    const auto first = static_cast<std::uint64_t>(place);
    const auto& steps = pitch_[click.first_of_bar ? 1 : 0].steps;
    std::array<float, kLags> fit{};
    for (std::size_t lag = 0; lag < kLags; ++lag) {
        Complex sum{};
        double weight = 1.0;
        for (std::size_t m = 0; m < kShape; ++m) {
            sum += static_cast<float>(weight) * steps[(first + lag + m) % kSteps];
            weight *= std::exp(-kStep_s / audio::kClickS);
        }
        fit[lag] = std::abs(sum);
    }
    std::array<float, kLags> sorted = fit;
    std::nth_element(sorted.begin(), sorted.begin() + kLags / 2, sorted.end());
    const float loudest = *std::max_element(fit.begin(), fit.end());
    if (!(loudest > kStandsOut * sorted[kLags / 2])) { // in digital silence both are 0
        return;
    }
    // In a room the sum of reflections can be louder than what came first: the first that is not far weaker counts.
    const float limit = std::max(kFirstShare * loudest, kStandsOut * sorted[kLags / 2]);
    std::size_t best = 1;
    while (best + 1 < kLags &&
           (fit[best] < limit || fit[best] < fit[best - 1] || fit[best] < fit[best + 1])) {
        ++best;
    }
    if (best + 1 == kLags) {
        return;
    }
    const double before = static_cast<double>(fit[best - 1]);
    const double after = static_cast<double>(fit[best + 1]);
    const double bend = before - 2.0 * static_cast<double>(fit[best]) + after;
    const double between = bend < 0.0 ? 0.5 * (before - after) / bend : 0.0;
    add_way((static_cast<double>(first + best) + between) * kStep_s + began_s_ - click.written_s);
}

void ClickFinder::add_way(double way_s) noexcept {
    ways_[next_way_] = way_s;
    next_way_ = (next_way_ + 1) % kWays;
    ways_count_ = std::min(ways_count_ + 1, kWays);
    std::array<double, kWays> sorted = ways_; // those to come last, as far as can be
    std::fill(sorted.begin() + static_cast<std::ptrdiff_t>(ways_count_),
              sorted.end(),
              std::numeric_limits<double>::infinity());
    std::sort(sorted.begin(), sorted.end());
    const double middle = sorted[ways_count_ / 2];
    const auto agree = std::count_if(sorted.begin(), sorted.end(), [middle](double way) {
        return std::abs(way - middle) < kAgree_s;
    });
    if (static_cast<std::size_t>(agree) >= std::max(kEnough, ways_count_ / 2 + 1)) {
        known_ = true;
        way_s_ = middle;
    }
}

} // namespace bellhand::practice
