#include "pitch/spectral_rise.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::pitch {

namespace {

constexpr double kWindow_s = 0.0213;
constexpr double kLowest_hz = 100.0;
constexpr double kHighest_hz = 5000.0;
constexpr double kBandsInOctave = 24.0;
constexpr float kFaint = 1e-4F; // of the loudest band: what lies lower is noise
constexpr float kMost_db = 20.0F;
constexpr float kSilence = 1e-12F;

int window_of(double rate_hz) {
    int length = 2;
    while (length * 1.4 < kWindow_s * rate_hz)
        length *= 2;
    return length;
}

} // namespace

SpectralRise::SpectralRise(double sample_rate_hz, int hop)
    : hop_(hop),
      fft_(window_of(sample_rate_hz)),
      hann_(static_cast<std::size_t>(fft_.length())),
      windowed_(hann_.size()),
      spectrum_(static_cast<std::size_t>(fft_.bins())) {
    const auto n = static_cast<double>(hann_.size());
    for (std::size_t i = 0; i < hann_.size(); ++i)
        hann_[i] = static_cast<float>(
            0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * (static_cast<double>(i) + 0.5) / n));
    const double bin_hz = sample_rate_hz / n;
    const double highest_hz = std::min(kHighest_hz, 0.45 * sample_rate_hz);
    for (double hz = kLowest_hz; hz < highest_hz;) {
        const auto bin = static_cast<std::size_t>(std::lround(hz / bin_hz));
        edges_.push_back(edges_.empty() ? bin : std::max(bin, edges_.back() + 1));
        hz = std::max(hz * std::exp2(1.0 / kBandsInOctave),
                      static_cast<double>(edges_.back() + 1) * bin_hz);
    }
    for (Bands& bands : recent_)
        bands.assign(edges_.size() - 1, 0.0F);
}

double SpectralRise::age() const noexcept {
    return 0.5 * (static_cast<double>(hann_.size()) + static_cast<double>(kLag) * hop_);
}

void SpectralRise::hear(const History& history) noexcept {
    const auto x = history.newest(hann_.size());
    std::transform(x.begin(), x.end(), hann_.begin(), windowed_.begin(), std::multiplies<>());
    fft_.forward(windowed_, spectrum_);
    Bands& now = recent_[heard_ % recent_.size()];
    for (std::size_t band = 0; band < now.size(); ++band) {
        now[band] = 0.0F;
        for (std::size_t bin = edges_[band]; bin < edges_[band + 1]; ++bin)
            now[band] += std::norm(spectrum_[bin]);
    }
    ++heard_;
    rise_db_ = 0.0;
    if (heard_ < recent_.size())
        return;
    const Bands& before = recent_[heard_ % recent_.size()]; // the oldest
    const float floor = kFaint * *std::max_element(now.begin(), now.end()) + kSilence;
    float risen = 0.0F;
    float all = 0.0F;
    for (std::size_t band = 0; band < now.size(); ++band) {
        const std::size_t last = std::min(band + 1, now.size() - 1);
        const float past = std::max({before[band > 0 ? band - 1 : 0], before[band], before[last]});
        const float weight = std::sqrt(now[band]);
        all += weight;
        if (now[band] > past) {
            const float db = 10.0F * std::log10((now[band] + floor) / (past + floor));
            risen += weight * std::min(db, kMost_db);
        }
    }
    rise_db_ = all > 0.0F ? static_cast<double>(risen / all) : 0.0;
}

} // namespace bellhand::pitch
