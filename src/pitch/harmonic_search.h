#pragma once

#include "pitch/estimator.h"
#include "pitch/spectrum.h"

#include <span>
#include <vector>

namespace bellhand::pitch {

/// A pitch that would explain the sound, and what speaks for it.
struct PitchCandidate {
    double f0_hz = 0.0;
    double explained =
        0.0; ///< share of the sound's energy on the teeth of the harmonic comb, less the floor between
    double contrast = 0.0; ///< energy on the teeth over energy half-way between them
    double lines = 0.0;    ///< share of the power of all clear spectral lines that lies on teeth
    double filled =
        1.0; ///< share of the teeth with strong teeth on both sides that sound themselves
    double purity =
        0.0; ///< energy on the teeth over energy close beside them: lines, not a resonance full of noise
    double bright = 0.0; ///< share of the teeth's energy from the fourth tooth up
    int first = 0;       ///< lowest tooth with a clear line
    int teeth = 0;       ///< teeth with a clear line
    double dense =
        1.0; ///< share of teeth with a clear line, from the first to the last of any strength
    double slant =
        0.0; ///< stretching of the comb: the coefficient B of f_l = l f0 sqrt(1 + B l^2), 0 for a horn
};

/// Finds the fundamental of the newest stretch of sound, coarse to within a few cents.
///
/// Candidates come from the maxima of the autocorrelation and their small multiples and parts; each is moved to the best
/// place near it and weighed by the energy its harmonic comb explains above the floor half-way between the teeth (in
/// the manner of Camacho and Harris 2008). Every part of a pitch explains what the pitch explains, and an accompaniment
/// an octave below makes it explain a little more; so among combs that explain nearly the same the highest wins. A lower
/// one takes its place only if its extra teeth are filled in evenly, as the bore of one instrument would: each extra
/// tooth a clear line at its exact place and not far below its neighbours on both sides (spectral smoothness, Klapuri
/// 2003). That keeps a note whose fundamental a telephone line has cut away, and refuses the keyboard's octave.
class HarmonicSearch {
public:
    /// `window_s`: stretch looked at; pitches from `lowest_hz` to `highest_hz`.
    HarmonicSearch(double sample_rate_hz, double window_s, double lowest_hz, double highest_hz);

    /// Samples that `best` wants to see.
    [[nodiscard]] int window() const noexcept { return spectrum_.window(); }

    /// `x`: the newest window() samples. `previous_hz`: the pitch followed so far, 0 if none. `without_hz`: a pitch whose
    /// lines are left out of account, 0 if none. `established`: the previous pitch has held for a while.
    [[nodiscard]] PitchCandidate best(std::span<const float> x,
                                      double previous_hz,
                                      const PitchPrior& prior,
                                      double without_hz = 0.0,
                                      bool established = false) noexcept;

    [[nodiscard]] const Spectrum& spectrum() const noexcept { return spectrum_; }

private:
    void collect(double previous_hz) noexcept;
    void add(double f0_hz) noexcept;
    [[nodiscard]] PitchCandidate weigh(double f0_hz) const noexcept;
    void polish(PitchCandidate& c) const noexcept;
    void describe(PitchCandidate& c) const noexcept;
    [[nodiscard]] bool fills_in(const PitchCandidate& lower,
                                const PitchCandidate& higher) const noexcept;
    [[nodiscard]] bool still_there(const PitchCandidate& c, double above_hz) const noexcept;
    [[nodiscard]] static double prior_bonus(double f0_hz, const PitchPrior& prior) noexcept;

    Spectrum spectrum_;
    double lowest_hz_;
    double highest_hz_;
    double band_hz_;
    std::vector<double> candidates_;
};

} // namespace bellhand::pitch
