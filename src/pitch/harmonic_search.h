#pragma once

#include "dsp/real_fft.h"
#include "pitch/estimator.h"

#include <complex>
#include <span>
#include <vector>

namespace bellhand::pitch {

/// A pitch that would explain the sound.
struct PitchCandidate {
    double f0_hz = 0.0;
    double explained =
        0.0; ///< share of the sound's energy on the teeth of the harmonic comb, less the local floor
    double contrast = 0.0; ///< energy on the teeth over energy half-way between them
};

/// Finds the fundamental of the newest stretch of sound, coarse to within a few cents.
///
/// Candidates come from the maxima of the autocorrelation, corrected for the window (Boersma 1993), and their small
/// multiples and parts; each is moved to the best place near it and weighed by the energy its harmonic comb explains
/// above the floor half-way between the teeth (in the manner of Camacho and Harris 2008). Among combs that explain
/// nearly the same the highest pitch wins, since every sub-multiple of a pitch explains it as well.
class HarmonicSearch {
public:
    explicit HarmonicSearch(double sample_rate_hz);

    /// Samples that `best` wants to see.
    [[nodiscard]] int window() const noexcept { return window_; }

    /// `x`: the newest window() samples. `previous_hz`: the pitch followed so far, 0 if none.
    [[nodiscard]] PitchCandidate
    best(std::span<const float> x, double previous_hz, const PitchPrior& prior) noexcept;

private:
    void transform(std::span<const float> x) noexcept;
    void collect(double previous_hz) noexcept;
    void add(double f0_hz) noexcept;
    [[nodiscard]] float power_at(double hz) const noexcept;
    [[nodiscard]] PitchCandidate weigh(double f0_hz) const noexcept;

    double rate_hz_;
    int window_;
    dsp::RealFft fft_;
    std::vector<float> hann_;
    std::vector<float> window_correlation_;
    std::vector<float> padded_;
    std::vector<std::complex<float>> spectrum_;
    std::vector<float> power_;
    std::vector<float> correlation_;
    std::vector<double> candidates_;
    double band_hz_;
    double window_sum_ = 0.0;
    double scale_ = 0.0; // power on a tooth to share of energy
};

} // namespace bellhand::pitch
