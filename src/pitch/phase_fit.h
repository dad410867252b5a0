#pragma once

#include "pitch/phasor_bank.h"

#include <array>

namespace bellhand::pitch {

/// How pitch runs through a window, from the phases of all harmonics.
struct PhaseFit {
    double omega = 0.0;    ///< fundamental in the middle of the window, rad per sample
    double chirp = 0.0;    ///< its change, rad per sample squared
    double variance = 0.0; ///< of omega
    double chirp_variance = 0.0;
    double middle = 0.0; ///< samples from the middle of the window to the newest sample
    double misfit = 1.0; ///< scatter of the harmonics about the fit over what the noise explains
    double correction = 0.0;                       ///< last change of omega while fitting
    double spread = 0.0;                           ///< effective number of harmonics that decided
    std::array<float, kBankHarmonics> amplitude{}; ///< peak amplitude of each harmonic
    bool ok = false;
};

struct PhaseFitRequest {
    int oldest = 0; ///< ages of the blocks at both ends of the window
    int newest = 0;
    double omega = 0.0; ///< starting point in the middle of the window
    double chirp = 0.0;
    double chirp_prior_sd = 0.0; ///< expected size of the chirp, 0: no chirp
    int passes = 1;
    bool robust = true; ///< give less weight to harmonics that disagree
};

/// Weighted least squares on phase slope and phase bend of every harmonic under a cosine window, joined by inverse
/// variance with Huber weights (Huber 1964).
///
/// Slope and bend of one harmonic come from the first and second time moments of its phasors (phase-derivative or
/// reassignment estimate: Auger and Flandrin 1995; with chirp: Abe and Smith 2005). `noise` is the power per sample of
/// what is not the tone around each harmonic (kBankHarmonics values).
[[nodiscard]] PhaseFit fit_phase(const PhasorBank& bank,
                                 const PhaseFitRequest& request,
                                 const std::array<float, kBankHarmonics>& noise) noexcept;

} // namespace bellhand::pitch
