#pragma once

#include "core/result.h"
#include "pitch/frame.h"

#include <array>
#include <memory>
#include <span>

namespace bellhand::pitch {

/// One place where a note is likely: a partial of the chosen crook under some hand position.
struct PriorPeak {
    double f0_hz = 0.0;
    double sd_cents = 30.0;
    double weight = 1.0;
};

/// Where the chosen crook makes notes likely. It steers only the choice between candidates, never the value of f0,
/// and strong evidence overrules it: a player with the wrong crook must still be seen.
struct PitchPrior {
    static constexpr int kMaxPeaks = 96;
    std::array<PriorPeak, kMaxPeaks> peaks{};
    int count = 0; ///< 0: no crook known, every pitch equally likely
};

struct EstimatorConfig {
    double sample_rate_hz = 48000.0; ///< 8 kHz to 192 kHz
    double start_time_s = 0.0;       ///< time of the first sample
};

/// Samples in, frames out. One estimator follows one monophonic stream.
///
/// After `make_estimator` nothing allocates, locks or throws. Any number of samples may be pushed at a time; a frame
/// comes out for every hop (256 samples at 48 kHz: `hop_s` tells). Non-finite samples count as silence.
class Estimator {
public:
    virtual ~Estimator() = default;

    /// Feed samples; returns how many of them were used. It stops early when a frame is ready: take it with `frame`,
    /// then push the rest.
    [[nodiscard]] virtual std::size_t push(std::span<const float> samples) noexcept = 0;

    /// True once per hop; fills `out`.
    [[nodiscard]] virtual bool frame(PitchFrame& out) noexcept = 0;

    /// Samples were lost here: keep time, forget the waveform.
    virtual void gap(std::uint64_t lost_samples) noexcept = 0;

    virtual void set_prior(const PitchPrior& prior) noexcept = 0;

    [[nodiscard]] virtual double hop_s() const noexcept = 0;
};

/// Allocates everything the estimator will ever need. Errors: sample rate outside 8 kHz to 192 kHz.
[[nodiscard]] Result<std::unique_ptr<Estimator>> make_estimator(const EstimatorConfig& config);

} // namespace bellhand::pitch
