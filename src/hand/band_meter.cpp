#include "hand/band_meter.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::hand {

namespace {

constexpr double kWindow_s = 0.020;
constexpr double kNothing_db = -200.0;
// About a third of a second of sound before the bandwidth is said, and what was heard counts for some ten seconds.
constexpr int kSettled_looks = 60;
constexpr int kLooksRemembered = 1900;
// Looks below this level, or this far below the loudest of late, are rests and say nothing of the bandwidth.
constexpr double kRest_db = -70.0;
constexpr double kRestBelowLoudest_db = 40.0;
constexpr double kLoudestFalls_db = 0.02; // per look
// A slice is dead when it lies under the last bit of 16-bit sound, or this far below the loudest one.
constexpr double kDead_db = -110.0;
constexpr double kDeadBelowLoudest_db = 80.0;
// An edge is a real one only when the sound falls this much from the last living slice to the dead one after the next,
// and no call ends below this frequency (telephone: 3.4 kHz, ITU-T G.711 and G.712).
constexpr double kEdge_db = 15.0;
constexpr std::size_t kLeastSlices = 6;

int power_of_two_near(double samples) {
    return 1 << std::max(7, static_cast<int>(std::lround(std::log2(samples))));
}

double decibel(double power) {
    return power > 1e-20 ? 10.0 * std::log10(power) : kNothing_db;
}

} // namespace

BandMeter::BandMeter(double sample_rate_hz)
    : rate_hz_(sample_rate_hz),
      fft_(power_of_two_near(kWindow_s * sample_rate_hz)),
      slices_(std::min(kSlices, static_cast<std::size_t>(0.5 * sample_rate_hz / kSlice_hz))) {
    const auto n = static_cast<std::size_t>(fft_.length());
    ring_.assign(n, 0.0F);
    hann_.resize(n);
    double square = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double w =
            0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * (static_cast<double>(i) + 0.5) /
                                 static_cast<double>(n));
        hann_[i] = static_cast<float>(w);
        square += w * w;
    }
    windowed_.resize(n);
    spectrum_.resize(static_cast<std::size_t>(fft_.bins()));
    scale_ = 2.0 / (square * static_cast<double>(n));
    forget();
}

void BandMeter::forget() noexcept {
    std::fill(ring_.begin(), ring_.end(), 0.0F);
    usual_db_.fill(0.0);
    loudest_db_ = kNothing_db;
    looks_ = 0;
    bands_ = Bands{};
    bands_.bandwidth_hz = static_cast<double>(slices_) * kSlice_hz;
}

void BandMeter::push(std::span<const float> samples) noexcept {
    for (const float x : samples) {
        ring_[at_] = std::isfinite(x) ? x : 0.0F;
        at_ = at_ + 1 == ring_.size() ? 0 : at_ + 1;
    }
}

const Bands& BandMeter::look() noexcept {
    const std::size_t n = ring_.size();
    const std::size_t tail = n - at_;
    for (std::size_t i = 0; i < tail; ++i) {
        windowed_[i] = ring_[at_ + i] * hann_[i];
    }
    for (std::size_t i = tail; i < n; ++i) {
        windowed_[i] = ring_[i - tail] * hann_[i];
    }
    fft_.forward(windowed_, spectrum_);
    const double bin_hz = rate_hz_ / static_cast<double>(n);
    double low = 0.0;
    double high = 0.0;
    double above = 0.0;
    double total = 0.0;
    std::array<double, kSlices> slice{};
    for (std::size_t k = 1; k < spectrum_.size(); ++k) {
        const double hz = static_cast<double>(k) * bin_hz;
        const double power = static_cast<double>(std::norm(spectrum_[k])) * scale_;
        const auto s = static_cast<std::size_t>(hz / kSlice_hz);
        if (s < slices_) {
            slice[s] += power;
        }
        total += hz >= 40.0 ? power : 0.0;
        low += hz >= 200.0 && hz < 1000.0 ? power : 0.0;
        high += hz >= 2000.0 && hz < 5000.0 ? power : 0.0;
        above += hz >= 5000.0 ? power : 0.0;
    }
    bands_.low_db = decibel(low);
    bands_.high_db = decibel(high);
    bands_.above_5_khz_db = decibel(above);
    bands_.total_db = decibel(total);
    learn_bandwidth(slice);
    return bands_;
}

void BandMeter::learn_bandwidth(const std::array<double, kSlices>& slice_power) noexcept {
    loudest_db_ = std::max(loudest_db_ - kLoudestFalls_db, bands_.total_db);
    if (bands_.total_db < std::max(kRest_db, loudest_db_ - kRestBelowLoudest_db)) {
        return;
    }
    // The mean of levels, not of powers nor the loudest: one click or lost packet must not fill the dead slices.
    ++looks_;
    const double pace = 1.0 / std::min(looks_, kLooksRemembered);
    for (std::size_t s = 0; s < slices_; ++s) {
        usual_db_[s] += pace * (decibel(slice_power[s]) - usual_db_[s]);
    }
    if (looks_ >= kSettled_looks && looks_ % 32 == 0) {
        find_bandwidth();
    }
}

void BandMeter::find_bandwidth() noexcept {
    const double loudest_db = *std::max_element(usual_db_.begin(), usual_db_.begin() + slices_);
    const double dead_db = std::max(kDead_db, loudest_db - kDeadBelowLoudest_db);
    std::size_t living = slices_;
    while (living > 0 && usual_db_[living - 1] < dead_db) {
        --living;
    }
    bool edge = living + 1 < slices_ && living >= kLeastSlices;
    if (edge) {
        const double below_db = std::max(usual_db_[living - 1], usual_db_[living - 2]);
        edge = below_db - usual_db_[living + 1] > kEdge_db;
    }
    bands_.bandwidth_hz = static_cast<double>(edge ? living : slices_) * kSlice_hz;
}

} // namespace bellhand::hand
