#include "instrument/calibration/calibration_tube.h"

#include "core/cents.h"
#include "instrument/least_squares.h"

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
    // Modelled length = stretch * real length + shift.
    enum : std::size_t { stretch, shift, unknowns };
    std::vector<Statement> statements{sum_is({stretch}, 1.0, kStretchPrior_sd)};
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
        statements.push_back({{{stretch, crook.tube_length_m}, {shift, 1.0}}, *length_m, sd_m});
    }
    const Settled settled = solve(unknowns, statements);
    FittedTube fit;
    fit.shape = shape;
    fit.stretch = settled.value[stretch];
    fit.shift_m = settled.value[shift];
    fit.stretch_sd = std::sqrt(settled.covariance[0]);
    fit.shift_sd_m = std::sqrt(settled.covariance[3]);
    fit.covariance_m = settled.covariance[1];
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
