#include "pitch/estimator.h"

#include "dsp/a_weighting.h"
#include "dsp/decimator.h"
#include "pitch/history.h"
#include "pitch/note_finder.h"
#include "pitch/note_follower.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

namespace bellhand::pitch {

namespace {

constexpr double kHop_s = 256.0 / 48000.0;
constexpr double kLowestInnerRate_hz = 21000.0;
constexpr float kSilence = 1e-7F; // mean square below which nothing is looked for: -70 dBFS
constexpr double kCentsPerUnit = 1200.0 / std::numbers::ln2;
constexpr int kSupervise_hops = 8;
constexpr double kSettled = 0.75; // share of the finder's stretch that must lie after a jump

float decibel(double mean_square) {
    return mean_square > 1e-20 ? static_cast<float>(10.0 * std::log10(mean_square)) : -200.0F;
}

class PhaseEstimator final : public Estimator {
public:
    explicit PhaseEstimator(const EstimatorConfig& config)
        : rate_hz_(config.sample_rate_hz),
          factor_(std::max(1, static_cast<int>(config.sample_rate_hz / kLowestInnerRate_hz))),
          inner_hz_(config.sample_rate_hz / factor_),
          hop_(8 * std::max(1, static_cast<int>(std::lround(inner_hz_ * kHop_s / 8.0)))),
          decimator_(factor_),
          weighting_(config.sample_rate_hz),
          finder_(inner_hz_),
          follower_(inner_hz_, hop_),
          history_(std::max(NoteFollower::reach(inner_hz_), finder_.reach())),
          start_s_(config.start_time_s) {}

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
        history_.clear();
        finder_.forget();
        follower_.stop();
        power_ = weighted_power_ = 0.0;
        in_hop_ = 0;
        hops_ = doubts_ = 0;
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
            const std::span<const float> hop(pending_.data(), static_cast<std::size_t>(hop_));
            history_.append(hop);
            finder_.hear(hop);
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

        ++hops_;
        const double to_hz = inner_hz_ / (2.0 * std::numbers::pi);
        bool begins = false;
        double begin_age = 0.0;
        if (follower_.active()) {
            const Following& now = follower_.advance(history_);
            if (now.changed) {
                begins = true;
                begin_age = now.changed_age;
            }
            const double hz = now.live_omega * to_hz;
            const double age = follower_.change_age();
            if (age > 0.0) {
                const NoteFinder::Finding found =
                    finder_.find_after(history_, hz, age / inner_hz_, hops_ % 2 != 0, prior_);
                if (found.horn && !near(found.pitch.f0_hz, hz)) {
                    begin(found.pitch, static_cast<std::size_t>(age));
                    begins = true;
                    begin_age = age;
                }
            }
            if (now.doubtful ||
                (hops_ % kSupervise_hops == 0 &&
                 follower_.usable() > kSettled * NoteFinder::span_s(hz) * inner_hz_))
                supervise(hz, now.repeats);
        } else if (hops_ % 2 == 0) {
            begins = look_for_note();
            begin_age = 2.0 * hop_;
        }
        out.noise_dbfs = decibel(std::max(noise_power_, 0.0));
        out.voiced = follower_.active();
        if (!out.voiced)
            return;
        const Following& now = follower_.state();
        const double delay_s = decimator_.delay_samples() / rate_hz_;
        if (begins) {
            out.onset = true;
            onset_s_ = out.time_s - delay_s - begin_age / inner_hz_;
        }
        out.onset_time_s = onset_s_;
        out.f0_hz = now.live_omega * to_hz;
        out.f0_sd_cents = now.live_sd_cents;
        out.judged_hz = now.judged_omega * to_hz;
        out.judged_sd_cents = now.judged_sd_cents;
        out.judged_time_s = out.time_s - delay_s - now.judged_age / inner_hz_;
        out.confidence = confidence_;
        out.snr_db = static_cast<float>(
            10.0 * std::log10((now.tone_power + 1e-12) / (now.noise_power + 1e-12)));
        out.harmonics = std::min(now.harmonics, kMaxHarmonics);
        for (std::size_t l = 0; l < static_cast<std::size_t>(out.harmonics); ++l) {
            const auto a = static_cast<double>(now.amplitude[l]);
            out.harmonic_db[l] = decibel(a * a / 2.0);
        }
    }

    bool look_for_note() noexcept {
        const auto x = history_.newest(finder_.reach());
        float mean_square = 0.0F;
        for (float v : x)
            mean_square += v * v;
        mean_square /= static_cast<float>(x.size());
        NoteFinder::Finding found;
        if (mean_square > kSilence)
            found = finder_.find(history_, prior_, hops_ % 4 == 0);
        if (!found.clear && !(found.horn && near(found.pitch.f0_hz, rival_hz_))) {
            // The same pitch must be found again after four hops: noise does not keep its lines that long.
            if (!found.horn)
                rival_hz_ = 0.0;
            else if (hops_ % 4 == 0)
                rival_hz_ = found.pitch.f0_hz;
            const auto power = static_cast<double>(mean_square);
            noise_power_ =
                noise_power_ < 0.0 ? power : noise_power_ + 0.02 * (power - noise_power_);
            return false;
        }
        begin(found.pitch, finder_.reach());
        return true;
    }

    void begin(const PitchCandidate& pitch, std::size_t usable) noexcept {
        confidence_ = static_cast<float>(std::clamp(pitch.explained, 0.0, 1.0));
        doubts_ = 0;
        rival_hz_ = 0.0;
        follower_.start(history_, 2.0 * std::numbers::pi * pitch.f0_hz / inner_hz_, usable);
    }

    static bool near(double a, double b) noexcept {
        return b > 0.0 && std::abs(kCentsPerUnit * std::log(a / b)) < 60.0;
    }

    void supervise(double followed_hz, double repeats) noexcept {
        const NoteFinder::Finding found = finder_.check(history_, followed_hz, repeats, prior_);
        if (!found.maybe) {
            if (++doubts_ >= 2)
                follower_.stop();
            rival_hz_ = 0.0;
            return;
        }
        if (near(found.pitch.f0_hz, followed_hz)) {
            confidence_ = static_cast<float>(std::clamp(found.pitch.explained, 0.0, 1.0));
            doubts_ = 0;
            rival_hz_ = 0.0;
            return;
        }
        // Another pitch must be found twice.
        if (near(found.pitch.f0_hz, rival_hz_) && found.horn) {
            begin(found.pitch, finder_.reach());
            return;
        }
        rival_hz_ = found.pitch.f0_hz;
    }

    double rate_hz_;
    int factor_;
    double inner_hz_;
    int hop_;
    dsp::Decimator decimator_;
    dsp::AWeighting weighting_;
    NoteFinder finder_;
    NoteFollower follower_;
    History history_;
    double start_s_;
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
    int hops_ = 0;
    int doubts_ = 0;
    float confidence_ = 0.0F;
    double rival_hz_ = 0.0;
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
