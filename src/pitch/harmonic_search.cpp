#include "pitch/harmonic_search.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::pitch {

namespace {

constexpr double kWindow_s = 0.0853;
constexpr double kLowest_hz = 27.5;
constexpr double kHighest_hz = 1680.0;
constexpr double kBand_hz = 7500.0;
constexpr int kMostTeeth = 40;
constexpr std::size_t kMostCandidates = 40;
constexpr double kNearlyAsGood = 0.85;

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

HarmonicSearch::HarmonicSearch(double sample_rate_hz)
    : rate_hz_(sample_rate_hz),
      window_(smooth_even_at_least(static_cast<int>(kWindow_s * sample_rate_hz))),
      fft_(2 * window_),
      band_hz_(std::min(kBand_hz, 0.42 * sample_rate_hz)) {
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
    candidates_.reserve(kMostCandidates);
    std::copy(hann_.begin(), hann_.end(), padded_.begin());
    fft_.forward(padded_, spectrum_);
    for (std::complex<float>& z : spectrum_)
        z = std::norm(z);
    fft_.inverse(spectrum_, correlation_);
    window_correlation_.assign(correlation_.begin(),
                               correlation_.begin() + static_cast<std::ptrdiff_t>(n));
    for (float v : hann_)
        window_sum_ += static_cast<double>(v);
}

void HarmonicSearch::transform(std::span<const float> x) noexcept {
    const auto n = static_cast<std::size_t>(window_);
    double mean = 0.0;
    for (std::size_t i = 0; i < n; ++i)
        mean += static_cast<double>(x[i] * hann_[i]);
    mean /= window_sum_;
    double energy = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const float v = x[i] - static_cast<float>(mean);
        padded_[i] = v * hann_[i];
        energy += static_cast<double>(v * padded_[i]);
    }
    std::fill(padded_.begin() + static_cast<std::ptrdiff_t>(n), padded_.end(), 0.0F);
    fft_.forward(padded_, spectrum_);
    for (std::size_t k = 0; k <= n; ++k)
        power_[k] = std::norm(spectrum_[k]);
    for (std::size_t k = 0; k <= n; ++k)
        spectrum_[k] = power_[k];
    fft_.inverse(spectrum_, correlation_);
    scale_ = energy > 0.0 ? 2.0 / (window_sum_ * energy) : 0.0;
}

float HarmonicSearch::power_at(double hz) const noexcept {
    const double at = hz * 2.0 * window_ / rate_hz_;
    const auto k = static_cast<std::size_t>(at);
    if (k + 1 >= power_.size())
        return 0.0F;
    const auto part = static_cast<float>(at - static_cast<double>(k));
    return power_[k] + part * (power_[k + 1] - power_[k]);
}

void HarmonicSearch::add(double f0_hz) noexcept {
    if (f0_hz < kLowest_hz || f0_hz > kHighest_hz || candidates_.size() == kMostCandidates)
        return;
    for (double other : candidates_) {
        if (std::abs(f0_hz - other) < 0.006 * other)
            return;
    }
    candidates_.push_back(f0_hz);
}

void HarmonicSearch::collect(double previous_hz) noexcept {
    candidates_.clear();
    if (previous_hz > 0.0)
        add(previous_hz);
    const auto first = static_cast<std::size_t>(std::max(2.0, rate_hz_ / kHighest_hz));
    const std::size_t last = std::min(static_cast<std::size_t>(rate_hz_ / kLowest_hz),
                                      static_cast<std::size_t>(window_ / 2));
    const auto value = [&](std::size_t lag) {
        return correlation_[lag] / window_correlation_[lag];
    };
    float highest = 0.0F;
    for (std::size_t lag = first; lag <= last; ++lag)
        highest = std::max(highest, value(lag));
    // The shortest good lags first: the true period is among them unless its multiples are much better.
    for (float share : {0.93F, 0.8F, 0.6F, 0.4F}) {
        int taken = 0;
        for (std::size_t lag = first; lag <= last && taken < 6; ++lag) {
            const float before = value(lag - 1);
            const float here = value(lag);
            const float after = value(lag + 1);
            if (here < before || here <= after || here < share * highest)
                continue;
            const float bend = before - 2.0F * here + after;
            const float shift = bend < 0.0F ? 0.5F * (before - after) / bend : 0.0F;
            const double f0 = rate_hz_ / (static_cast<double>(lag) + static_cast<double>(shift));
            ++taken;
            add(f0);
            if (taken <= 2) {
                for (double factor : {2.0, 3.0, 0.5, 1.0 / 3.0})
                    add(f0 * factor);
            }
        }
    }
}

PitchCandidate HarmonicSearch::weigh(double f0_hz) const noexcept {
    const auto energy = [&](double f) {
        float on = 0.0F;
        float off = 0.0F;
        const int teeth = std::min(kMostTeeth, static_cast<int>(band_hz_ / f));
        float below = power_at(0.5 * f);
        for (int l = 1; l <= teeth; ++l) {
            const float above = power_at((l + 0.5) * f);
            on += power_at(l * f);
            off += 0.5F * (below + above);
            below = above;
        }
        return std::pair{on, off};
    };
    const double bin_hz = rate_hz_ / (2.0 * window_);
    PitchCandidate found{f0_hz, -1.0, 0.0};
    // Two passes: the low teeth place it to within a few cents, then all of them.
    double centre = f0_hz;
    for (double reach : {0.015, 0.004}) {
        const double teeth = std::min({static_cast<double>(kMostTeeth), band_hz_ / centre, 20.0});
        const double step = std::max(0.7 * bin_hz / teeth, reach * centre / 8.0);
        double best = -1.0;
        double best_at = centre;
        for (double f = centre - reach * centre; f <= centre + reach * centre + 1e-9; f += step) {
            const auto [on, off] = energy(f);
            const double score = static_cast<double>(on - off);
            if (score > best) {
                best = score;
                best_at = f;
                found.contrast = static_cast<double>(on / (off + 1e-20F));
            }
        }
        centre = best_at;
        found.f0_hz = best_at;
        found.explained = best * scale_;
    }
    return found;
}

PitchCandidate HarmonicSearch::best(std::span<const float> x,
                                    double previous_hz,
                                    const PitchPrior& prior) noexcept {
    transform(x);
    if (scale_ <= 0.0)
        return {};
    collect(previous_hz);
    PitchCandidate chosen{};
    std::array<PitchCandidate, kMostCandidates> weighed{};
    double most = 0.0;
    for (std::size_t i = 0; i < candidates_.size(); ++i) {
        weighed[i] = weigh(candidates_[i]);
        most = std::max(most, weighed[i].explained);
    }
    for (std::size_t i = 0; i < candidates_.size(); ++i) {
        const PitchCandidate& c = weighed[i];
        double bonus = 0.0;
        if (previous_hz > 0.0 && std::abs(c.f0_hz / previous_hz - 1.0) < 0.02)
            bonus += 0.02;
        for (int p = 0; p < prior.count; ++p) {
            const PriorPeak& peak = prior.peaks[static_cast<std::size_t>(p)];
            const double cents = 1200.0 * std::log2(c.f0_hz / peak.f0_hz);
            if (std::abs(cents) < 2.0 * peak.sd_cents) {
                bonus += 0.03;
                break;
            }
        }
        if (c.explained + bonus >= kNearlyAsGood * most && c.f0_hz > chosen.f0_hz)
            chosen = c;
    }
    return chosen;
}

} // namespace bellhand::pitch
