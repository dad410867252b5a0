#include "pitch/estimator.h"

#include "dsp/a_weighting.h"
#include "dsp/decimator.h"
#include "pitch/decay.h"
#include "pitch/history.h"
#include "pitch/note_finder.h"
#include "pitch/note_follower.h"
#include "pitch/spectral_rise.h"
#include "pitch/speech_guard.h"

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
constexpr int kEstablished = 6;                   // checks that found the followed pitch
constexpr int kDoubtsOfNew = 2, kDoubtsOfOld = 5; // checks that may fail before a note is given up
constexpr int kLooks = 2, kRelatedLooks = 5;      // checks that must agree on another pitch
constexpr double kNoiseDown = 0.04;               // pace at which the room's level is learnt
constexpr double kNoiseUp = 0.02;
constexpr double kSureContrast = 20.0;
constexpr double kUnconfirmed =
    0.4; // doubt about a pitch that only the short stretch after a jump speaks for
constexpr double kFoundAge =
    0.45; // share of the finder's stretch that a note fills when it is first found
constexpr double kGone_s = 0.085; // a note is over when it neither repeats nor sounds for so long
constexpr double kGoneRepeats = 0.6;
constexpr double kGonePower = 0.06;
// What still follows a note that the noise has covered reads the noise.
constexpr double kDrowned = 0.8; // tone over what does not repeat, in power
constexpr int kDrowned_hops = 4;
constexpr double kSure = 0.5; // confidence from which a reading is judged
constexpr double kStale_s = 0.030;
constexpr double kUnsure_db = -3.0; // tone against noise at which there is no confidence left
constexpr double kFullySure_db = 1.0;
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
          start_s_(config.start_time_s),
          guard_(hop_ / inner_hz_),
          decay_(hop_ / inner_hz_),
          rise_(inner_hz_, hop_) {}

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
        guard_.end();
        decay_.forget();
        rise_.forget();
        shown_ = false;
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
        decay_.hear(power_ / hop_samples);
        rise_.hear(history_);
        const double delay_s = decimator_.delay_samples() / rate_hz_;
        out.rise_db = static_cast<float>(rise_.rise_db());
        out.rise_time_s = out.time_s - delay_s - rise_.age() / inner_hz_;
        const double to_hz = inner_hz_ / (2.0 * std::numbers::pi);
        begins_ = false;
        const bool followed = follower_.active();
        if (followed) {
            const Following& now = follower_.advance(history_);
            if (now.changed) {
                agreed_ = drowned_hops_ = 0;
                begins_ = true;
                begin_age_ = now.changed_age;
            }
            const double hz = now.live_omega * to_hz;
            const double age = follower_.change_age();
            if (age > 0.0) {
                const NoteFinder::Finding found =
                    finder_.find_after(history_, hz, age / inner_hz_, hops_ % 2 != 0, prior_);
                // A multiple or part of the old note cannot be told from what is left of it here.
                if (found.horn && !related(found.pitch.f0_hz, hz)) {
                    begin(found.pitch, static_cast<std::size_t>(age));
                }
            }
            const bool drowned = decay_.soft() && now.tone_power < kDrowned * now.noise_power;
            drowned_hops_ = drowned ? drowned_hops_ + 1 : 0;
            const double gone = kGone_s * inner_hz_;
            if (drowned_hops_ >= kDrowned_hops)
                follower_.stop();
            else if (age > gone && now.repeats < kGoneRepeats &&
                     power_ / hop_samples < kGonePower * (now.tone_power + now.noise_power))
                follower_.stop();
            else if (now.doubtful ||
                     (hops_ % kSupervise_hops == 0 &&
                      follower_.usable() > kSettled * NoteFinder::span_s(hz) * inner_hz_))
                supervise(hz, now.repeats);
        } else if (hops_ % 2 == 0) {
            look_for_note();
        }
        out.noise_dbfs = decibel(std::max(noise_power_, 0.0));
        if (!follower_.active()) {
            if (followed)
                guard_.end();
            guard_.rest();
            shown_ = false;
            return;
        }
        const Following& now = follower_.state();
        if (begins_)
            guard_.begin(followed);
        const bool was_shown = shown_;
        shown_ =
            guard_.follow(kCentsPerUnit * std::log(now.live_omega), now.repeats, slope_of(now)) &&
            !decay_.hides(agreed_);
        out.voiced = shown_;
        if (begins_)
            onset_s_ = out.time_s - delay_s - begin_age_ / inner_hz_;
        out.withheld = !shown_;
        if (!shown_)
            return;
        out.onset = begins_ || !was_shown;
        out.onset_time_s = onset_s_;
        out.f0_hz = now.live_omega * to_hz;
        out.f0_sd_cents = now.live_sd_cents;
        out.judged_hz = now.judged_omega * to_hz;
        out.judged_sd_cents = now.judged_sd_cents;
        out.judged_time_s = out.time_s - delay_s - now.judged_age / inner_hz_;
        out.snr_db = static_cast<float>(
            10.0 * std::log10((now.tone_power + 1e-12) / (now.noise_power + 1e-12)));
        out.confidence = static_cast<float>(confidence(now));
        out.doubtful = out.confidence < static_cast<float>(kSure);
        out.harmonics = std::min(now.harmonics, kMaxHarmonics);
        for (std::size_t l = 0; l < static_cast<std::size_t>(out.harmonics); ++l) {
            const auto a = static_cast<double>(now.amplitude[l]);
            out.harmonic_db[l] = decibel(a * a / 2.0);
        }
    }

    void look_for_note() noexcept {
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
            const double power = power_ / (static_cast<double>(hop_) * factor_);
            const double pace = power < noise_power_ ? kNoiseDown : kNoiseUp;
            noise_power_ =
                noise_power_ < 0.0 ? power : noise_power_ + pace * (power - noise_power_);
            return;
        }
        begin(found.pitch, finder_.reach());
    }

    void begin(const PitchCandidate& pitch, std::size_t usable) noexcept {
        quality_ = quality(pitch);
        doubts_ = agreed_ = 0;
        rival_hz_ = 0.0;
        begins_ = true;
        drowned_hops_ = 0;
        begin_age_ =
            std::min(static_cast<double>(usable), kFoundAge * static_cast<double>(finder_.reach()));
        follower_.start(history_, 2.0 * std::numbers::pi * pitch.f0_hz / inner_hz_, usable);
    }

    /// Before the first fit to the harmonics there is only a period, and no telling tone from noise.
    [[nodiscard]] double confidence(const Following& now) const noexcept {
        if (!(now.tone_power > 0.0))
            return 0.0;
        const double snr_db = 10.0 * std::log10(now.tone_power / (now.noise_power + 1e-12));
        const double heard =
            std::clamp((snr_db - kUnsure_db) / (kFullySure_db - kUnsure_db), 0.0, 1.0);
        // While the sound does not repeat with the pitch, the reading is only the last one.
        const double fresh = std::exp(-follower_.change_age() / (kStale_s * inner_hz_));
        return heard * fresh * quality_ * (1.0 - kUnconfirmed * std::exp(-agreed_));
    }

    /// How fast the pitch moves, cents a second, from the middle of its window to its end; endless where it is not known.
    [[nodiscard]] double slope_of(const Following& now) const noexcept {
        if (!(now.judged_age > 0.0 && now.judged_omega > 0.0 && now.tone_power > 0.0))
            return 1e9;
        return kCentsPerUnit * std::log(now.live_omega / now.judged_omega) * inner_hz_ /
               now.judged_age;
    }

    static double quality(const PitchCandidate& c) noexcept {
        return std::clamp(c.lines, 0.0, 1.0) * std::min(1.0, c.contrast / kSureContrast);
    }

    static bool near(double a, double b) noexcept {
        return b > 0.0 && std::abs(kCentsPerUnit * std::log(a / b)) < 60.0;
    }

    void supervise(double followed_hz, double repeats) noexcept {
        const NoteFinder::Finding found =
            finder_.check(history_, followed_hz, repeats, agreed_ >= kEstablished, prior_);
        const bool established = agreed_ >= kEstablished;
        if (!found.maybe) {
            if (++doubts_ >= (established ? kDoubtsOfOld : kDoubtsOfNew))
                follower_.stop();
            rival_hz_ = 0.0;
            return;
        }
        if (near(found.pitch.f0_hz, followed_hz)) {
            quality_ = quality(found.pitch);
            doubts_ = 0;
            ++agreed_;
            rival_hz_ = 0.0;
            return;
        }
        // Another pitch must be found twice; a multiple or part of one that stands, oftener: players and codecs make
        // lines come and go.
        if (!near(found.pitch.f0_hz, rival_hz_)) {
            rival_hz_ = found.pitch.f0_hz;
            rival_hop_ = hops_;
            rivals_ = 1;
            return;
        }
        if (!found.horn || hops_ - rival_hop_ < kSupervise_hops)
            return;
        rival_hop_ = hops_;
        if (++rivals_ >= (established && related(rival_hz_, followed_hz) ? kRelatedLooks : kLooks))
            begin(found.pitch, finder_.reach());
    }

    /// One a small multiple of the other.
    static bool related(double a, double b) noexcept {
        const double ratio = std::max(a, b) / std::min(a, b);
        return near(ratio, std::round(ratio));
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
    int agreed_ = 0;
    double quality_ = 0.0; // of the spectrum that last spoke for the followed pitch
    int drowned_hops_ = 0;
    SpeechGuard guard_;
    Decay decay_;
    SpectralRise rise_;
    bool shown_ = false;
    bool begins_ = false;
    double begin_age_ = 0.0; // samples since the note began, as far as can be told
    double rival_hz_ = 0.0;
    int rival_hop_ = 0; // when it was last found
    int rivals_ = 0;    // how often
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
