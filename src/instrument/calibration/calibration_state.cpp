#include "instrument/calibration/calibration_state.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::instrument {

namespace {

constexpr std::array kReferencePartials{4, 5, 6, 8, 9, 10, 12};
/// How far apart on the frequency scale partials still stray together.
constexpr double kTogetherWithin_octaves = 0.35;

std::size_t slot(int partial) noexcept {
    return static_cast<std::size_t>(partial - 1);
}

} // namespace

double partial_cents(int partial) noexcept {
    return cents_between(partial, 1.0);
}

HornBelief::Vector f1_weights() noexcept {
    HornBelief::Vector weights{};
    for (const int partial : kReferencePartials) {
        weights[slot(partial)] = 1.0 / kReferencePartials.size();
    }
    return weights;
}

HornBelief::HornBelief(const OffsetPrior& offsets,
                       double f1_sd_cents,
                       double drift_sd_cents_per_min) {
    for (int n = 1; n <= kCalibratedPartials; ++n) {
        const std::size_t i = slot(n);
        mean_[i] = offsets.mean_cents[i];
        for (int m = 1; m <= kCalibratedPartials; ++m) {
            const std::size_t k = slot(m);
            const double octaves = std::abs(std::log2(static_cast<double>(n) / m));
            const double apart = octaves / kTogetherWithin_octaves;
            covariance_[i][k] = f1_sd_cents * f1_sd_cents + offsets.together_sd_cents[i] *
                                                                offsets.together_sd_cents[k] *
                                                                std::exp(-0.5 * apart * apart);
        }
        covariance_[i][i] += offsets.alone_sd_cents[i] * offsets.alone_sd_cents[i];
    }
    covariance_[kDrift][kDrift] = drift_sd_cents_per_min * drift_sd_cents_per_min;
}

HornBelief::Vector HornBelief::times_covariance(const Vector& weights) const {
    Vector out{};
    for (std::size_t i = 0; i < kSize; ++i) {
        for (std::size_t k = 0; k < kSize; ++k) {
            out[i] += covariance_[i][k] * weights[k];
        }
    }
    return out;
}

void HornBelief::learn(const Note& note) {
    const std::size_t at = slot(note.partial);
    Vector spread{};
    for (std::size_t i = 0; i < kSize; ++i) {
        spread[i] = covariance_[i][at] + note.minutes * covariance_[i][kDrift];
    }
    const double total = spread[at] + note.minutes * spread[kDrift] + note.variance;
    const double surprise = note.cents - mean_[at] - note.minutes * mean_[kDrift];
    for (std::size_t i = 0; i < kSize; ++i) {
        const double gain = spread[i] / total;
        mean_[i] += gain * surprise;
        for (std::size_t k = 0; k < kSize; ++k) {
            covariance_[i][k] -= gain * spread[k];
        }
    }
}

double HornBelief::covariance(int one, int other, double minutes) const {
    const std::size_t i = slot(one);
    const std::size_t k = slot(other);
    return covariance_[i][k] + minutes * (covariance_[i][kDrift] + covariance_[k][kDrift]) +
           minutes * minutes * covariance_[kDrift][kDrift];
}

HornBelief::Prediction HornBelief::predict(int partial, double minutes) const {
    return {mean_[slot(partial)] + minutes * mean_[kDrift], covariance(partial, partial, minutes)};
}

HornBelief::Prediction HornBelief::predict_without(int partial, const Note& learnt) const {
    const Prediction with = predict(partial, learnt.minutes);
    const Prediction itself = predict(learnt.partial, learnt.minutes);
    const double left = std::max(learnt.variance - itself.variance, 1e-9 * learnt.variance);
    const double shared = covariance(partial, learnt.partial, learnt.minutes);
    return {with.mean - shared * (learnt.cents - itself.mean) / left,
            with.variance + shared * shared / left};
}

HornBelief::Prediction HornBelief::combine(const Vector& weights) const {
    const Vector spread = times_covariance(weights);
    Prediction out;
    for (std::size_t i = 0; i < kSize; ++i) {
        out.mean += weights[i] * mean_[i];
        out.variance += weights[i] * spread[i];
    }
    return out;
}

double HornBelief::shift_without(const Vector& weights, const Note& learnt) const {
    const Prediction itself = predict(learnt.partial, learnt.minutes);
    const double left = std::max(learnt.variance - itself.variance, 1e-9 * learnt.variance);
    double shared = 0.0;
    for (std::size_t i = 0; i < kSize; ++i) {
        shared += weights[i] *
                  (covariance_[i][slot(learnt.partial)] + learnt.minutes * covariance_[i][kDrift]);
    }
    return -shared * (learnt.cents - itself.mean) / left;
}

} // namespace bellhand::instrument
