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

    /// A note of this partial was `cents` high, `minutes` from the middle.
    struct Note {
        int partial = 1;
        double minutes = 0.0;
        double cents = 0.0;
        double variance = 1.0;
    };
    void learn(const Note& note);

    struct Prediction {
        double mean = 0.0;
        double variance = 0.0;
    };
    [[nodiscard]] Prediction predict(int partial, double minutes) const;
    /// What would be expected of a partial at the time of a note that was learnt, had it not been learnt.
    [[nodiscard]] Prediction predict_without(int partial, const Note& learnt) const;
    /// Any linear combination of the state.
    [[nodiscard]] Prediction combine(const Vector& weights) const;
    /// How far that combination would move, had a note that was learnt not been learnt.
    [[nodiscard]] double shift_without(const Vector& weights, const Note& learnt) const;

private:
    [[nodiscard]] Vector times_covariance(const Vector& weights) const;
    /// Covariance of two partials at the same time.
    [[nodiscard]] double covariance(int one, int other, double minutes) const;

    Vector mean_{};
    std::array<Vector, kSize> covariance_{};
};

/// Weights that turn the state into f1 (cents from the guess) by the convention of `PlayedCalibration`.
[[nodiscard]] HornBelief::Vector f1_weights() noexcept;

/// Cents from f1 to partial n of a perfect tube.
[[nodiscard]] double partial_cents(int partial) noexcept;

} // namespace bellhand::instrument
