#pragma once

#include "dsp/real_fft.h"

#include <array>
#include <complex>
#include <span>
#include <vector>

namespace bellhand::pitch {

/// A line that stands clear of the noise around it.
struct SpectralPeak {
    double hz = 0.0;
    double power = 0.0;
};

/// Power spectrum of the newest stretch of sound under a Hann window, padded to twice its length, with the noise floor,
/// the lines above it, and the autocorrelation corrected for the window (Boersma 1993).
class Spectrum {
public:
    static constexpr std::size_t kMostPeaks = 96;

    Spectrum(double sample_rate_hz, double window_s);

    [[nodiscard]] int window() const noexcept { return window_; }
    [[nodiscard]] double rate_hz() const noexcept { return rate_hz_; }
    [[nodiscard]] double bin_hz() const noexcept { return rate_hz_ / (2.0 * window_); }

    /// `x`: window() samples. Returns false for silence.
    bool look(std::span<const float> x) noexcept;

    /// Leave out the lines of a known pitch: what remains is taken for the whole sound from here on.
    void leave_out(double f0_hz) noexcept;

    /// Power at any frequency, straight lines between bins. 0 beyond half the sample rate.
    [[nodiscard]] float power_at(double hz) const noexcept;
    [[nodiscard]] float floor_at(double hz) const noexcept;
    /// Largest power within `reach_hz` of a frequency.
    [[nodiscard]] float power_near(double hz, double reach_hz) const noexcept;

    /// Share of the energy in the window that a line of this power holds.
    [[nodiscard]] double share(double power) const noexcept { return power * scale_; }

    [[nodiscard]] std::span<const SpectralPeak> peaks() const noexcept {
        return {peaks_.data(), peak_count_};
    }

    /// 1 at lag 0; lags up to half the window. Calculated by `look_at_lags`.
    void look_at_lags() noexcept;
    [[nodiscard]] float correlation(std::size_t lag) const noexcept {
        return correlation_[lag] * window_correlation_[lag];
    }

private:
    void find_floor() noexcept;
    void find_peaks() noexcept;

    double rate_hz_;
    int window_;
    dsp::RealFft fft_;
    std::vector<float> hann_;
    std::vector<float> window_correlation_; // reciprocal
    std::vector<float> padded_;
    std::vector<std::complex<float>> spectrum_;
    std::vector<float> power_;
    std::vector<float> correlation_;
    std::vector<float> floor_; // one value a band
    std::array<SpectralPeak, kMostPeaks> peaks_{};
    std::size_t peak_count_ = 0;
    double window_sum_ = 0.0;
    double scale_ = 0.0;
    double energy_ = 0.0;
};

} // namespace bellhand::pitch
