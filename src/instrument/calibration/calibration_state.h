#pragma once

// Shared by the calibration sources only.

#include "instrument/calibration/calibration.h"

#include <array>

namespace bellhand::instrument {

/// Gaussian belief about the pitch of every partial (cents above f1 guess, n removed) and the drift in cents per minute,
/// narrowed by one note at a time.
class HornBelief {
public:
    static constexpr std::size_t kDrift = kCalibratedPartials;
    static constexpr std::size_t kSize = kCalibratedPartials + 1;
    using Vector = std::array<double, kSize>;

    HornBelief(const OffsetPrior& offsets, double f1_sd_cents, double drift_sd_cents_per_min);

    /// A note of partial `partial` was `cents` high, `minutes` from the middle; `variance` of it.
    void learn(int partial, double minutes, double cents, double variance);

    struct Prediction {
        double mean = 0.0;
        double variance = 0.0;
    };
    [[nodiscard]] Prediction predict(int partial, double minutes) const;
    /// Any linear combination of the state.
    [[nodiscard]] Prediction combine(const Vector& weights) const;

private:
    [[nodiscard]] Vector times_covariance(const Vector& weights) const;

    Vector mean_{};
    std::array<Vector, kSize> covariance_{};
};

/// Weights that turn the state into f1 (cents from the guess) by the convention of `PlayedCalibration`.
[[nodiscard]] HornBelief::Vector f1_weights() noexcept;

/// Cents from f1 to partial n of a perfect tube.
[[nodiscard]] double partial_cents(int partial) noexcept;

} // namespace bellhand::instrument
