#include "pitch/estimator.h"

#include "dsp/a_weighting.h"
#include "dsp/decimator.h"
#include "pitch/harmonic_search.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

namespace bellhand::pitch {

namespace {

constexpr double kHop_s = 256.0 / 48000.0;
constexpr double kLowestInnerRate_hz = 21000.0;
constexpr double kSilence = 1e-7; // mean square below which nothing is looked for: -70 dBFS
constexpr double kCentsPerUnit = 1200.0 / std::numbers::ln2;
constexpr double kChirpPrior_cents_s = 700.0;

float decibel(double mean_square) {
    return mean_square > 1e-20 ? static_cast<float>(10.0 * std::log10(mean_square)) : -200.0F;
}

struct Refined {
    double f_mid_hz = 0.0;
    double f_end_hz = 0.0;
    double sd_mid_cents = 0.0;
    double sd_end_cents = 0.0;
    double lag_s = 0.0; // from the middle to the newest sample
    double tone_power = 0.0;
    double noise_power = 0.0;
    int harmonics = 0;
    std::array<double, kMaxHarmonics> amplitude{};
};

class PhaseEstimator final : public Estimator {
public:
    explicit PhaseEstimator(const EstimatorConfig& config)
        : rate_hz_(config.sample_rate_hz),
          factor_(std::max(1, static_cast<int>(config.sample_rate_hz / kLowestInnerRate_hz))),
          inner_hz_(config.sample_rate_hz / factor_),
          hop_(8 * std::max(1, static_cast<int>(std::lround(inner_hz_ * kHop_s / 8.0)))),
          decimator_(factor_),
          weighting_(config.sample_rate_hz),
          search_(inner_hz_),
          start_s_(config.start_time_s) {
        history_.assign(static_cast<std::size_t>(search_.window()), 0.0F);
    }

    std::size_t push(std::span<const float> samples) noexcept override {
        std::size_t used = 0;
        while (used < samples.size() && !ready_) {
            float x = samples[used++];
            if (!std::isfinite(x))
                x = 0.0F;
            take(x);
        }
        return used;
    }

    bool frame(PitchFrame& out) noexcept override {
        if (!ready_)
            return false;
        ready_ = false;
        out = PitchFrame{};
        analyse(out);
        power_ = weighted_power_ = 0.0;
        peak_ = 0.0F;
        in_hop_ = 0;
        return true;
    }

    void gap(std::uint64_t lost_samples) noexcept override {
        consumed_ += lost_samples;
        dropped_ += lost_samples;
        decimator_.reset();
        weighting_.reset();
        std::fill(history_.begin(), history_.end(), 0.0F);
        power_ = weighted_power_ = 0.0;
        in_hop_ = 0;
        voiced_hops_ = 0;
        last_hz_ = 0.0;
    }

    void set_prior(const PitchPrior& prior) noexcept override { prior_ = prior; }

    double hop_s() const noexcept override { return hop_ / inner_hz_; }

private:
    void take(float x) noexcept {
        ++consumed_;
        power_ += static_cast<double>(x) * static_cast<double>(x);
        const double a = weighting_.push(static_cast<double>(x));
        weighted_power_ += a * a;
        peak_ = std::max(peak_, std::abs(x));
        float y = 0.0F;
        if (!decimator_.push(x, y))
            return;
        pending_[static_cast<std::size_t>(in_hop_)] = y;
        if (++in_hop_ == hop_) {
            const auto n = static_cast<std::ptrdiff_t>(hop_);
            std::move(history_.begin() + n, history_.end(), history_.begin());
            std::copy(pending_.begin(), pending_.begin() + n, history_.end() - n);
            ready_ = true;
        }
    }

    void analyse(PitchFrame& out) noexcept {
        const double hop_samples = static_cast<double>(hop_) * factor_;
        out.time_s = start_s_ + static_cast<double>(consumed_) / rate_hz_;
        out.level_dbfs = decibel(power_ / hop_samples);
        out.level_dba = decibel(weighted_power_ / hop_samples);
        out.clipped = peak_ >= 0.999F;
        out.dropped_samples = dropped_;

        double mean_square = 0.0;
        for (float v : history_)
            mean_square += static_cast<double>(v) * static_cast<double>(v);
        mean_square /= static_cast<double>(history_.size());
        PitchCandidate best{};
        if (mean_square > kSilence)
            best = search_.best(history_, last_hz_, prior_);
        const bool voiced = best.f0_hz > 0.0 && best.explained > 0.15 && best.contrast > 8.0;
        if (!voiced) {
            voiced_hops_ = 0;
            last_hz_ = 0.0;
            noise_power_ = noise_power_ < 0.0 ? mean_square
                                              : noise_power_ + 0.02 * (mean_square - noise_power_);
            out.noise_dbfs = decibel(noise_power_);
            return;
        }
        const Refined fine = refine(best.f0_hz);
        const bool known =
            voiced_hops_ > 0 && std::abs(kCentsPerUnit * std::log(fine.f_mid_hz / last_hz_)) < 60.0;
        ++voiced_hops_;
        last_hz_ = fine.f_mid_hz;
        out.noise_dbfs = decibel(std::max(noise_power_, 0.0));
        out.voiced = voiced_hops_ >= 2;
        if (!out.voiced)
            return;
        if (!known || voiced_hops_ == 2) {
            out.onset = true;
            onset_s_ = out.time_s - kHop_s * 2.0;
        }
        const double delay_s = decimator_.delay_samples() / rate_hz_;
        out.onset_time_s = onset_s_;
        out.f0_hz = fine.f_end_hz;
        out.f0_sd_cents = fine.sd_end_cents;
        out.judged_hz = fine.f_mid_hz;
        out.judged_sd_cents = fine.sd_mid_cents;
        out.judged_time_s = out.time_s - delay_s - fine.lag_s;
        out.confidence = static_cast<float>(std::clamp(best.explained, 0.0, 1.0));
        out.snr_db = static_cast<float>(
            10.0 * std::log10((fine.tone_power + 1e-12) / (fine.noise_power + 1e-12)));
        out.harmonics = fine.harmonics;
        for (std::size_t l = 0; l < static_cast<std::size_t>(fine.harmonics); ++l)
            out.harmonic_db[l] = decibel(fine.amplitude[l] * fine.amplitude[l] / 2.0);
    }

    // Phase slope and bend of every harmonic under a Hann window, joined by inverse variance with Huber weights.
    Refined refine(double f0_hz) const noexcept {
        using std::numbers::pi;
        Refined out;
        double omega = 2.0 * pi * f0_hz / inner_hz_;
        double chirp = 0.0;
        const auto available = static_cast<double>(history_.size());
        const double length = std::min(available, std::max(4.5 / f0_hz, 0.024) * inner_hz_);
        const auto n = static_cast<std::size_t>(length);
        const float* x = history_.data() + (history_.size() - n);
        const int harmonics =
            std::clamp(static_cast<int>(0.4 * inner_hz_ / f0_hz), 1, kMaxHarmonics);
        const double middle = (static_cast<double>(n) - 1.0) / 2.0;
        double s0 = 0.0, s2 = 0.0, s4 = 0.0, w2 = 0.0, w2t2 = 0.0, energy = 0.0;
        for (std::size_t i = 0; i < n; ++i) {
            const double t = static_cast<double>(i) - middle;
            const double w = 0.5 + 0.5 * std::cos(2.0 * pi * t / static_cast<double>(n));
            s0 += w;
            s2 += w * t * t;
            s4 += w * t * t * t * t;
            w2 += w * w;
            w2t2 += w * w * t * t;
            energy += w * static_cast<double>(x[i]) * static_cast<double>(x[i]);
        }
        const double m2 = s2 / s0;
        const double g = s4 / s0 - m2 * m2;
        double variance = 1.0;
        double chirp_variance = 1.0;
        for (int pass = 0; pass < 3; ++pass) {
            std::array<double, kMaxHarmonics> slope{}, bend{}, amplitude{};
            double tone = 0.0;
            for (int l = 1; l <= harmonics; ++l) {
                std::complex<double> sum, first, second;
                for (std::size_t i = 0; i < n; ++i) {
                    const double t = static_cast<double>(i) - middle;
                    const double w = 0.5 + 0.5 * std::cos(2.0 * pi * t / static_cast<double>(n));
                    const double angle = -l * (omega * t + 0.5 * chirp * t * t);
                    const std::complex<double> z = std::polar(w * static_cast<double>(x[i]), angle);
                    sum += z;
                    first += t * z;
                    second += (t * t - m2) * z;
                }
                const auto at = static_cast<std::size_t>(l - 1);
                const double norm = std::norm(sum) + 1e-30;
                amplitude[at] = 2.0 * std::sqrt(norm) / s0;
                slope[at] = (first * std::conj(sum)).imag() / norm * s0 / s2;
                bend[at] = 2.0 * (second * std::conj(sum)).imag() / (norm * g);
                tone += amplitude[at] * amplitude[at] / 2.0;
            }
            const double total = energy / s0;
            const double noise = std::max(total - tone, 1e-4 * total + 1e-14);
            double step = 0.0, information = 0.0, bend_sum = 0.0;
            for (int huber = 0; huber < 4; ++huber) {
                double numerator = 0.0, bend_numerator = 0.0;
                double denominator = 0.0;
                for (int l = 1; l <= harmonics; ++l) {
                    const auto at = static_cast<std::size_t>(l - 1);
                    const double v =
                        2.0 * noise * w2t2 / (amplitude[at] * amplitude[at] * s2 * s2 + 1e-30);
                    const double away = std::abs(slope[at] - l * step) / std::sqrt(v);
                    double weight = 1.0 / v;
                    if (huber > 0 && pass > 0)
                        weight *= away > 6.0 ? 0.0 : away > 1.5 ? 1.5 / away : 1.0;
                    numerator += weight * l * slope[at];
                    denominator += weight * l * l;
                    bend_numerator += weight * l * bend[at];
                }
                if (denominator <= 0.0)
                    break;
                step = numerator / denominator;
                information = denominator;
                bend_sum = bend_numerator / denominator;
            }
            if (information <= 0.0)
                break;
            const double limit = omega * 0.02;
            omega += std::clamp(step, -limit, limit);
            // Bend and slope estimates have errors in the ratio of their lever arms.
            chirp_variance = s2 * s2 / (information * w2t2) * 4.0 * w2 / (s0 * s0 * g);
            const double prior = kChirpPrior_cents_s / kCentsPerUnit * omega / inner_hz_;
            const double shrink = prior * prior / (prior * prior + chirp_variance);
            chirp = shrink * (chirp + bend_sum);
            variance = 1.0 / information;
            out.tone_power = tone;
            out.noise_power = noise;
            out.harmonics = harmonics;
            out.amplitude = amplitude;
        }
        const double to_hz = inner_hz_ / (2.0 * pi);
        out.f_mid_hz = omega * to_hz;
        out.f_end_hz = (omega + chirp * middle) * to_hz;
        out.sd_mid_cents = kCentsPerUnit * std::sqrt(variance) / omega;
        out.sd_end_cents =
            kCentsPerUnit * std::sqrt(variance + chirp_variance * middle * middle) / omega;
        out.lag_s = middle / inner_hz_;
        return out;
    }

    double rate_hz_;
    int factor_;
    double inner_hz_;
    int hop_;
    dsp::Decimator decimator_;
    dsp::AWeighting weighting_;
    HarmonicSearch search_;
    double start_s_;
    std::vector<float> history_;
    std::array<float, 512> pending_{};
    PitchPrior prior_{};
    std::uint64_t consumed_ = 0;
    std::uint64_t dropped_ = 0;
    int in_hop_ = 0;
    bool ready_ = false;
    double power_ = 0.0;
    double weighted_power_ = 0.0;
    float peak_ = 0.0F;
    double noise_power_ = -1.0;
    int voiced_hops_ = 0;
    double last_hz_ = 0.0;
    double onset_s_ = 0.0;
};

} // namespace

Result<std::unique_ptr<Estimator>> make_estimator(const EstimatorConfig& config) {
    if (!(config.sample_rate_hz >= 8000.0 && config.sample_rate_hz <= 192000.0))
        return failure(
            "The pitch estimator works from 8 kHz to 192 kHz; choose another sample rate "
            "for this input.");
    return std::make_unique<PhaseEstimator>(config);
}

} // namespace bellhand::pitch
