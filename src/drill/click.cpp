#include "drill/click.h"

#include <algorithm>
#include <cmath>

namespace bellhand::drill {

namespace {

// Own choices, tried on the players of tests/property/tempo_test.cpp.
constexpr std::size_t kLeastUsual = 4;
constexpr std::size_t kLeastForLag = 6;
constexpr std::size_t kLeastForDrift = 8;
constexpr double kLag_s = 0.060;    ///< nearer to the click nobody is told anything
constexpr double kSteady_s = 0.040; ///< median distance from the common lag
constexpr double kDrift_s = 0.120;  ///< over the notes that are remembered
/// Players come in behind a click rather than before it: a note may be this share of a beat early, the rest is late.
constexpr double kEarliest = 0.35;

double median(std::array<double, 12>& values, std::size_t count) noexcept {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(count / 2);
    std::nth_element(values.begin(), middle, values.begin() + static_cast<std::ptrdiff_t>(count));
    return *middle;
}

} // namespace

void Click::beat(double time_s, bool heard) noexcept {
    ++beats_;
    beat_s_ = time_s;
    heard_ = heard;
}

void Click::begin_anew() noexcept {
    grid_.reset();
    count_ = 0;
    usual_s_ = 0.0;
}

double Click::middle_s() const noexcept {
    std::array<double, kNotes> values{};
    const std::size_t count = std::min(count_, kNotes);
    for (std::size_t i = 0; i < count; ++i) {
        values[i] = late_[i].late_s;
    }
    return count > 0 ? median(values, count) : 0.0;
}

double Click::hear(
    double place_beats, double start_s, double length_s, int beats_in_bar, bool goes_on) noexcept {
    const double off = beats_ - 1 + (start_s - beat_s_) / length_s - place_beats;
    const double usual = usual_s_ / length_s;
    const double on_beat = std::floor(off - usual + kEarliest);
    const bool first = !grid_;
    if (first) {
        // The first note is meant for the beginning of a bar when that lies near.
        const double bar = std::max(1, beats_in_bar);
        const double in_bar = off - bar * std::floor((off + kEarliest) / bar);
        grid_ = in_bar < 1.0 ? off - in_bar : on_beat;
    }
    const double against_usual = off - *grid_ - usual;
    if (!first && (!goes_on || against_usual < -0.5 || against_usual > 1.0)) {
        grid_ = on_beat; // the player has begun anew, or found another beat to go on with
        count_ = 0;
    }
    late_[count_ % kNotes] = {place_beats, (off - *grid_) * length_s};
    ++count_;
    if (count_ >= kLeastUsual) {
        usual_s_ = middle_s();
    }
    return (off - *grid_) * length_s - usual_s_;
}

std::optional<Remark> Click::remark() noexcept {
    const std::size_t count = std::min(count_, kNotes);
    if (count < kLeastForLag) {
        return std::nullopt;
    }
    double mean_beats = 0.0;
    double mean_s = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        mean_beats += late_[i].beats / static_cast<double>(count);
        mean_s += late_[i].late_s / static_cast<double>(count);
    }
    double spread = 0.0;
    double together = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        spread += std::pow(late_[i].beats - mean_beats, 2.0);
        together += (late_[i].beats - mean_beats) * (late_[i].late_s - mean_s);
    }
    const double slope = spread > 0.0 ? together / spread : 0.0; // seconds a beat
    const Late& newest = late_[(count_ - 1) % kNotes];
    const Late& oldest = late_[count_ > kNotes ? count_ % kNotes : 0];
    const double beats = newest.beats - oldest.beats;
    const double drift_s = slope * beats;
    const double lag_s = middle_s();
    std::array<double, kNotes> off_lag{};
    std::array<double, kNotes> off_line{};
    for (std::size_t i = 0; i < count; ++i) {
        off_lag[i] = std::fabs(late_[i].late_s - lag_s);
        off_line[i] = std::fabs(late_[i].late_s - mean_s - slope * (late_[i].beats - mean_beats));
    }
    if (!drift_said_ && count >= kLeastForDrift && std::fabs(drift_s) >= kDrift_s &&
        median(off_line, count) < kSteady_s && beats > 0.0) {
        drift_said_ = true;
        return Remark{Remark::Kind::drifting, drift_s, beats, heard_};
    }
    if (!lag_said_ && std::fabs(lag_s) >= kLag_s && median(off_lag, count) < kSteady_s &&
        std::fabs(drift_s) < 0.5 * kDrift_s) {
        lag_said_ = true;
        return Remark{Remark::Kind::behind_click, lag_s, 0.0, heard_};
    }
    return std::nullopt;
}

} // namespace bellhand::drill
