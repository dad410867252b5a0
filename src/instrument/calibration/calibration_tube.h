#pragma once

#include "core/result.h"
#include "horn/acoustics/natural_horn.h"

#include <span>
#include <string>
#include <vector>

namespace bellhand::instrument {

/// A crook (with whatever couplers) of known tube length whose f1 was found by playing.
struct MeasuredCrook {
    std::string name;
    double tube_length_m =
        0.0; ///< tape length of everything between mouthpiece and body, slide included
    double f1_hz = 0.0;
    double f1_sd_cents = 0.5;
    double temperature_c = 20.0;
};

/// The modelled horn bent to this player's: a real tube of length x plays like a modelled crook of length
/// stretch * x + shift. Two numbers carry everything that differs: bore of the crooks, body, mouthpiece, player.
struct FittedTube {
    double stretch = 1.0;
    double shift_m = 0.0;
    double stretch_sd = 0.0;
    double shift_sd_m = 0.0;
    double covariance_m = 0.0;
    double misfit_cents = 0.0; ///< root mean square of what the fit leaves on the measured crooks
    std::vector<double> residual_cents; ///< measured minus fitted, in the order given
    horn::acoustics::HornShape shape;
};

/// Fits stretch and shift by least squares with one prior: stretch 1 with a standard deviation of 2 per cent, so that
/// one crook is enough to begin with. Errors (usage): no crook, lengths or f1 that are not positive; (usage) an f1 that
/// the modelled body cannot play.
[[nodiscard]] Result<FittedTube> fit_tube(std::span<const MeasuredCrook> crooks,
                                          const horn::acoustics::HornShape& shape = {});

struct PredictedCrook {
    double f1_hz = 0.0;
    double sd_cents =
        0.0; ///< from the fit's own uncertainty, plus 2.3 cents for what two numbers cannot say
};

/// What a tube of this length will play. Errors (usage): length that makes a crook shorter than 2 cm in the model.
[[nodiscard]] Result<PredictedCrook>
predict_crook(const FittedTube& fit, double tube_length_m, double temperature_c);

/// How well the measured crooks predict each other: each left out in turn, measured minus predicted, in cents. Empty
/// with fewer than two crooks. Errors as `fit_tube`.
[[nodiscard]] Result<std::vector<double>>
left_out_residuals(std::span<const MeasuredCrook> crooks,
                   const horn::acoustics::HornShape& shape = {});

} // namespace bellhand::instrument
