#include "pitch/spectrum.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::pitch {

namespace {

constexpr std::size_t kBand = 32; // bins that share a floor value
constexpr double kQuantile = 0.3; // of the bins of a band: below the lines
constexpr float kQuantileToMean =
    2.80F; // for noise, whose power is exponentially distributed: -1 / ln(1 - 0.3)
constexpr float kClear = 12.0F; // times the floor

int smooth_even_at_least(int n) {
    for (;; ++n) {
        int rest = n;
        for (int factor : {2, 3, 5}) {
            while (rest % factor == 0)
                rest /= factor;
        }
        if (rest == 1 && n % 2 == 0)
            return n;
    }
}

} // namespace

Spectrum::Spectrum(double sample_rate_hz, double window_s)
    : rate_hz_(sample_rate_hz),
      window_(smooth_even_at_least(static_cast<int>(window_s * sample_rate_hz))),
      fft_(2 * window_) {
    const auto n = static_cast<std::size_t>(window_);
    hann_.resize(n);
    for (std::size_t i = 0; i < n; ++i)
        hann_[i] = static_cast<float>(
            0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * (static_cast<double>(i) + 0.5) /
                                 static_cast<double>(n)));
    padded_.assign(2 * n, 0.0F);
    spectrum_.resize(n + 1);
    power_.resize(n + 1);
    correlation_.resize(2 * n);
    floor_.resize((n + 1) / kBand + 1);
    std::copy(hann_.begin(), hann_.end(), padded_.begin());
    fft_.forward(padded_, spectrum_);
    for (std::complex<float>& z : spectrum_)
        z = std::norm(z);
    fft_.inverse(spectrum_, correlation_);
    window_correlation_.resize(n);
    for (std::size_t i = 0; i < n; ++i)
        window_correlation_[i] =
            correlation_[0] / std::max(correlation_[i], 1e-6F * correlation_[0]);
    for (float v : hann_)
        window_sum_ += static_cast<double>(v);
}

bool Spectrum::look(std::span<const float> x) noexcept {
    const auto n = static_cast<std::size_t>(window_);
    float mean = 0.0F;
    for (std::size_t i = 0; i < n; ++i)
        mean += x[i] * hann_[i];
    mean /= static_cast<float>(window_sum_);
    float energy = 0.0F;
    for (std::size_t i = 0; i < n; ++i) {
        const float v = x[i] - mean;
        padded_[i] = v * hann_[i];
        energy += v * padded_[i];
    }
    std::fill(padded_.begin() + static_cast<std::ptrdiff_t>(n), padded_.end(), 0.0F);
    fft_.forward(padded_, spectrum_);
    for (std::size_t k = 0; k <= n; ++k)
        power_[k] = std::norm(spectrum_[k]);
    peak_count_ = 0;
    if (!(energy > 1e-12F))
        return false;
    energy_ = static_cast<double>(energy);
    scale_ = 2.0 / (window_sum_ * energy_);
    find_floor();
    find_peaks();
    return true;
}

void Spectrum::leave_out(double f0_hz) noexcept {
    double before = 0.0;
    for (float p : power_)
        before += static_cast<double>(p);
    const double bin = bin_hz();
    const double half = std::min(4.0 * bin, 0.4 * f0_hz); // the main lobe of the window
    for (double hz = f0_hz; hz < rate_hz_ / 2.0; hz += f0_hz) {
        const double reach = half + 0.002 * hz;
        const auto first = static_cast<std::size_t>(std::max(0.0, (hz - reach) / bin + 0.5));
        const auto last =
            std::min(static_cast<std::size_t>((hz + reach) / bin + 0.5), power_.size() - 1);
        for (std::size_t k = first; k <= last; ++k)
            power_[k] = 0.0F;
    }
    double after = 0.0;
    for (float p : power_)
        after += static_cast<double>(p);
    if (before > 0.0 && after > 0.0)
        scale_ = 2.0 / (window_sum_ * energy_ * after / before);
    find_peaks();
}

void Spectrum::look_at_lags() noexcept {
    for (std::size_t k = 0; k < power_.size(); ++k)
        spectrum_[k] = power_[k];
    fft_.inverse(spectrum_, correlation_);
    const float unit = 1.0F / std::max(correlation_[0], 1e-20F);
    for (std::size_t i = 0; i < static_cast<std::size_t>(window_); ++i)
        correlation_[i] *= unit;
}

void Spectrum::find_floor() noexcept {
    std::array<float, kBand> sorted{};
    for (std::size_t band = 0; band < floor_.size(); ++band) {
        const std::size_t first = std::min(band * kBand, power_.size() - kBand);
        std::copy_n(power_.begin() + static_cast<std::ptrdiff_t>(first), kBand, sorted.begin());
        const auto at = sorted.begin() + static_cast<std::ptrdiff_t>(kQuantile * kBand);
        std::nth_element(sorted.begin(), at, sorted.end());
        floor_[band] = *at * kQuantileToMean;
    }
}

float Spectrum::floor_at(double hz) const noexcept {
    const double at = std::max(0.0, hz / bin_hz() / kBand - 0.5);
    const auto band = std::min(static_cast<std::size_t>(at), floor_.size() - 2);
    const auto part = static_cast<float>(std::min(1.0, at - static_cast<double>(band)));
    return floor_[band] + part * (floor_[band + 1] - floor_[band]);
}

void Spectrum::find_peaks() noexcept {
    float highest = 0.0F;
    for (std::size_t k = 4; k + 1 < power_.size(); ++k)
        highest = std::max(highest, power_[k]);
    float least = highest * 1e-5F;
    const double bin = bin_hz();
    // When there are too many, only the strongest count: raise the bar and look again.
    for (int round = 0; round < 6; ++round) {
        peak_count_ = 0;
        bool full = false;
        for (std::size_t k = 4; k + 1 < power_.size(); ++k) {
            const float here = power_[k];
            if (here < least || here < power_[k - 1] || here <= power_[k + 1])
                continue;
            if (here < kClear * floor_at(static_cast<double>(k) * bin))
                continue;
            if (peak_count_ == kMostPeaks) {
                full = true;
                break;
            }
            const double a = std::log(static_cast<double>(power_[k - 1]) + 1e-30);
            const double b = std::log(static_cast<double>(here) + 1e-30);
            const double c = std::log(static_cast<double>(power_[k + 1]) + 1e-30);
            const double bend = a - 2.0 * b + c;
            const double shift = bend < 0.0 ? 0.5 * (a - c) / bend : 0.0;
            peaks_[peak_count_++] = {(static_cast<double>(k) + shift) * bin,
                                     std::exp(b - 0.25 * (a - c) * shift)};
        }
        if (!full)
            return;
        least *= 10.0F;
    }
}

float Spectrum::power_at(double hz) const noexcept {
    const double at = hz / bin_hz();
    const auto k = static_cast<std::size_t>(at);
    if (k + 1 >= power_.size())
        return 0.0F;
    const auto part = static_cast<float>(at - static_cast<double>(k));
    return power_[k] + part * (power_[k + 1] - power_[k]);
}

float Spectrum::power_near(double hz, double reach_hz) const noexcept {
    const double bin = bin_hz();
    const auto first = static_cast<std::size_t>(std::max(0.0, (hz - reach_hz) / bin + 0.5));
    const auto last =
        std::min(static_cast<std::size_t>((hz + reach_hz) / bin + 0.5), power_.size() - 1);
    float most = 0.0F;
    for (std::size_t k = first; k <= last; ++k)
        most = std::max(most, power_[k]);
    return most;
}

} // namespace bellhand::pitch
