#include "instrument/calibration/calibration_tube.h"

#include "core/cents.h"

#include <cmath>
#include <numbers>

namespace bellhand::instrument {

namespace {

using horn::acoustics::HornShape;

constexpr double kStretchPrior_sd = 0.02;
constexpr double kModelError_cents = 2.3;

/// Metres of tube that one cent is worth: L_eff = c / (2 f1).
double metres_per_cent(double f1_hz, double speed_m_s) noexcept {
    return speed_m_s / (2.0 * f1_hz) * std::numbers::ln2 / 1200.0;
}

Result<void> check(const MeasuredCrook& crook) {
    if (!(crook.tube_length_m > 0.0) || !(crook.f1_hz > 0.0) || !(crook.f1_sd_cents >= 0.0) ||
        !std::isfinite(crook.tube_length_m) || !std::isfinite(crook.f1_hz)) {
        return usage_error("crook '" + crook.name +
                           "' needs a tube length in metres and an f1 in Hz above zero");
    }
    if (crook.tube_length_m > 12.0) {
        return usage_error("crook '" + crook.name + "' is " + std::to_string(crook.tube_length_m) +
                           " m long; give metres, not millimetres");
    }
    return {};
}

} // namespace

Result<FittedTube> fit_tube(std::span<const MeasuredCrook> crooks, const HornShape& shape) {
    if (crooks.empty()) {
        return usage_error("no crook was measured: play open notes on at least one");
    }
    // Weighted regression of modelled length on real length: normal equations of (stretch, shift).
    double s_xx = 1.0 / (kStretchPrior_sd * kStretchPrior_sd);
    double s_x = 0.0;
    double s_1 = 0.0;
    double s_xy = s_xx; // prior mean of the stretch is 1
    double s_y = 0.0;
    std::vector<double> modelled_m;
    for (const MeasuredCrook& crook : crooks) {
        if (auto checked = check(crook); !checked) {
            return tl::unexpected(checked.error());
        }
        const auto air = horn::acoustics::keefe_air(crook.temperature_c);
        const auto length_m = horn::acoustics::crook_length_for_m(shape, crook.f1_hz, air);
        if (!length_m) {
            return usage_error("crook '" + crook.name + "': " + length_m.error().message);
        }
        modelled_m.push_back(*length_m);
        const double sd_m = metres_per_cent(crook.f1_hz, air.speed_m_s) *
                            std::hypot(crook.f1_sd_cents, kModelError_cents);
        const double weight = 1.0 / (sd_m * sd_m);
        const double x = crook.tube_length_m;
        s_xx += weight * x * x;
        s_x += weight * x;
        s_1 += weight;
        s_xy += weight * x * *length_m;
        s_y += weight * *length_m;
    }
    const double determinant = s_xx * s_1 - s_x * s_x;
    FittedTube fit;
    fit.shape = shape;
    fit.stretch = (s_xy * s_1 - s_x * s_y) / determinant;
    fit.shift_m = (s_xx * s_y - s_x * s_xy) / determinant;
    fit.stretch_sd = std::sqrt(s_1 / determinant);
    fit.shift_sd_m = std::sqrt(s_xx / determinant);
    fit.covariance_m = -s_x / determinant;
    double squares = 0.0;
    for (std::size_t i = 0; i < crooks.size(); ++i) {
        const double fitted_m = fit.stretch * crooks[i].tube_length_m + fit.shift_m;
        const double speed = horn::acoustics::keefe_air(crooks[i].temperature_c).speed_m_s;
        // A longer real tube than fitted sounds lower.
        const double residual =
            (fitted_m - modelled_m[i]) / metres_per_cent(crooks[i].f1_hz, speed);
        fit.residual_cents.push_back(residual);
        squares += residual * residual;
    }
    fit.misfit_cents = std::sqrt(squares / static_cast<double>(crooks.size()));
    return fit;
}

Result<PredictedCrook>
predict_crook(const FittedTube& fit, double tube_length_m, double temperature_c) {
    const double length_m = fit.stretch * tube_length_m + fit.shift_m;
    if (!(length_m >= 0.02)) {
        return usage_error("a tube of " + std::to_string(tube_length_m) +
                           " m is too short to be a crook of this horn");
    }
    const auto air = horn::acoustics::keefe_air(temperature_c);
    PredictedCrook out;
    out.f1_hz = horn::acoustics::model_f1_hz(fit.shape, length_m, air);
    const double x = tube_length_m;
    const double variance_m2 = x * x * fit.stretch_sd * fit.stretch_sd +
                               2.0 * x * fit.covariance_m + fit.shift_sd_m * fit.shift_sd_m;
    out.sd_cents = std::hypot(std::sqrt(std::max(0.0, variance_m2)) /
                                  metres_per_cent(out.f1_hz, air.speed_m_s),
                              kModelError_cents);
    return out;
}

Result<std::vector<double>> left_out_residuals(std::span<const MeasuredCrook> crooks,
                                               const HornShape& shape) {
    std::vector<double> out;
    if (crooks.size() < 2) {
        return out;
    }
    for (std::size_t left = 0; left < crooks.size(); ++left) {
        std::vector<MeasuredCrook> others;
        for (std::size_t i = 0; i < crooks.size(); ++i) {
            if (i != left) {
                others.push_back(crooks[i]);
            }
        }
        const auto fit = fit_tube(others, shape);
        if (!fit) {
            return tl::unexpected(fit.error());
        }
        const auto predicted =
            predict_crook(*fit, crooks[left].tube_length_m, crooks[left].temperature_c);
        if (!predicted) {
            return tl::unexpected(predicted.error());
        }
        out.push_back(cents_between(crooks[left].f1_hz, predicted->f1_hz));
    }
    return out;
}

} // namespace bellhand::instrument
