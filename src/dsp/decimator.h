#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace bellhand::dsp {

/// Keeps one sample in `factor` after a linear-phase low-pass (windowed sinc, Kaiser 1974 window).
///
/// Passband to 0.40 of the output rate within 0.02 dB; 69 dB down from 0.50 of the output rate, so that nothing folds back. Every output describes the instant `delay_samples()` input samples before the
/// newest input that it used. Factor 1 passes samples through unchanged, with no delay.
class Decimator {
public:
    /// Throws std::invalid_argument when `factor` < 1.
    explicit Decimator(int factor);

    [[nodiscard]] int factor() const noexcept { return factor_; }
    [[nodiscard]] double delay_samples() const noexcept;
    [[nodiscard]] const std::vector<float>& taps() const noexcept { return taps_; }

    /// Takes one input sample; true when an output is ready, which it writes to `out`.
    bool push(float in, float& out) noexcept;

    /// Forget the past: as if silence had been.
    void reset() noexcept;

private:
    int factor_;
    std::vector<float> taps_;
    std::vector<float> history_; // twice the taps, so that the newest stretch is always contiguous
    std::size_t at_ = 0;
    int phase_ = 0;
};

} // namespace bellhand::dsp
