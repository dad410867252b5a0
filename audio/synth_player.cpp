#include "audio/synth_player.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace bellhand::audio {

namespace {

constexpr double kSlurS =
    0.03; // time from note to note in a slur, and the longest gap bridged by one
constexpr double kSettleS = 0.012;      // half-life of the first moment's error in pitch
constexpr double kWanderStepS = 0.005;  // lips are looked at 200 times a second
constexpr double kWanderMemoryS = 0.12; // and forget after this time
constexpr double kSwellDb = 0.35;       // unsteadiness of the level, standard deviation
constexpr double kBreathDb = -50.0;     // breath noise under a held tone
constexpr double kChiffDb = -13.0;      // noise of an attack
constexpr double kHighestOfRate = 0.46; // harmonics stay below this share of the sample rate
constexpr double kFadeOfRate =
    0.03; // and fade over this share below it, so that a glide drops none suddenly

double smooth_step(double x) noexcept {
    const double u = std::clamp(x, 0.0, 1.0);
    return u * u * (3.0 - 2.0 * u);
}

double score_length_s(const SynthScore& score) noexcept {
    if (score.length_s > 0.0) {
        return score.length_s;
    }
    return score.tones.empty() ? 1.0
                               : score.tones.back().start_s + score.tones.back().duration_s + 1.0;
}

double share_of(double corner_hz, double rate_hz) noexcept {
    return 1.0 - exact::exp2(-exact::kTau * corner_hz / (rate_hz * exact::kLn2));
}

double attack_s(const ToneSpec& tone) noexcept {
    // Low tones need a few trips of the wave along the tube before they stand.
    return std::min(0.5 * tone.duration_s, std::min(0.07, 0.012 + 2.5 / tone.f0_hz));
}

} // namespace

SynthPlayer::SynthPlayer(SynthScore score, double sample_rate_hz)
    : score_(std::move(score)),
      rate_hz_(sample_rate_hz),
      length_(static_cast<std::uint64_t>(std::llround(score_length_s(score_) * sample_rate_hz))),
      lips_(score_.seed),
      noise_(score_.seed ^ 0x5bd1e995a5a5a5a5ULL) {
    exact::Random phases(score_.seed + 0x1234567ULL);
    for (exact::SinCos& offset : offset_) {
        offset = exact::sin_cos_turns(phases.uniform());
    }
    lip_from_ = lips_.normal();
    lip_to_ = lip_from_;
    swell_from_ = lips_.normal();
    swell_to_ = swell_from_;

    // The sum of a few one-pole low-passes an octave or two apart falls about as the noise of a room does.
    double corner_hz = 60.0;
    for (OnePole& band : room_) {
        band.share = share_of(std::min(corner_hz, 0.4 * rate_hz_), rate_hz_);
        band.gain = std::sqrt((2.0 - band.share) / band.share);
        corner_hz *= 5.0;
    }
    room_rms_ =
        exact::amplitude_of_db(score_.noise_dbfs) / std::sqrt(static_cast<double>(room_.size()));

    breath_low_.share = share_of(400.0, rate_hz_);
    breath_high_.share = share_of(std::min(3000.0, 0.4 * rate_hz_), rate_hz_);
    const double a = breath_high_.share;
    const double b = breath_low_.share;
    const double variance =
        a / (2.0 - a) + b / (2.0 - b) - 2.0 * a * b / (1.0 - (1.0 - a) * (1.0 - b));
    breath_gain_ = 1.0 / std::sqrt(variance);
    look(0.0, now_);
}

bool SynthPlayer::linked(std::size_t index) const noexcept {
    if (index == 0 || index >= score_.tones.size() || !score_.tones[index].slurred) {
        return false;
    }
    const ToneSpec& before = score_.tones[index - 1];
    return score_.tones[index].start_s - (before.start_s + before.duration_s) <= kSlurS;
}

void SynthPlayer::enter_tone(std::size_t index) noexcept {
    const ToneSpec& tone = score_.tones[index];
    spectrum_before_ = spectrum_;
    level_before_ = level_;
    base_before_hz_ = base_hz_;
    const double dynamics = tone.brightness + (tone.level_dbfs + 21.0) / 24.0;
    spectrum_ =
        horn_spectrum({tone.f0_hz, tone.closure, dynamics}, kHighestOfRate * rate_hz_, score_.seed);
    level_ = exact::amplitude_of_db(tone.level_dbfs);
    base_hz_ = tone.f0_hz;
    if (!linked(index)) {
        spectrum_before_ = spectrum_;
        level_before_ = level_;
        base_before_hz_ = base_hz_;
    }
    tone_ = index;
    in_tone_ = true;
}

double SynthPlayer::pitch_cents(const ToneSpec& tone, double time_s) const noexcept {
    const double since_s = time_s - tone.start_s;
    double cents = lip_cents_ * score_.jitter_cents;
    cents += tone.attack_cents * exact::exp2(-since_s / kSettleS);
    cents += tone.drift_cents_per_s * (since_s - 0.5 * tone.duration_s);
    if (tone.vibrato_cents != 0.0) {
        cents += tone.vibrato_cents * smooth_step(since_s / 0.15) *
                 exact::sin_cos_turns(tone.vibrato_hz * since_s).sin;
    }
    return cents;
}

void SynthPlayer::wander(double time_s) noexcept {
    const double ticks = time_s / kWanderStepS;
    const double keep = exact::exp2(-kWanderStepS / (kWanderMemoryS * exact::kLn2));
    const double fresh = std::sqrt(1.0 - keep * keep);
    while (static_cast<double>(wander_ticks_) < ticks) {
        ++wander_ticks_;
        lip_from_ = std::exchange(lip_to_, keep * lip_to_ + fresh * lips_.normal());
        swell_from_ = std::exchange(swell_to_, keep * swell_to_ + fresh * lips_.normal());
    }
    const double along = std::clamp(1.0 - (static_cast<double>(wander_ticks_) - ticks), 0.0, 1.0);
    lip_cents_ = lip_from_ + along * (lip_to_ - lip_from_);
    swell_db_ = kSwellDb * (swell_from_ + along * (swell_to_ - swell_from_));
}

void SynthPlayer::look(double time_s, Posture& out) noexcept {
    for (std::size_t next = in_tone_ ? tone_ + 1 : 0;
         next < score_.tones.size() && time_s > score_.tones[next].start_s;
         ++next) {
        enter_tone(next);
    }
    out.sounding = false;
    out.harmonics = 0;
    out.breath = 0.0;
    out.amplitude.fill(0.0);
    if (!in_tone_) {
        return;
    }
    const ToneSpec& tone = score_.tones[tone_];
    const double since_s = time_s - tone.start_s;
    const double left_s = tone.duration_s - since_s;
    const bool goes_on = linked(tone_ + 1);
    if (left_s <= 0.0 && !goes_on) {
        return;
    }
    wander(played_s_);
    const bool slur = linked(tone_);
    const double along = slur ? smooth_step(since_s / kSlurS) : 1.0;
    double envelope = 1.0;
    if (slur) {
        envelope = 1.0 - 1.2 * along * (1.0 - along); // the tone thins between two partials
    } else {
        envelope = smooth_step(since_s / (attack_s(tone) * (tone.slurred ? 2.0 : 1.0)));
    }
    if (!goes_on) {
        envelope *= smooth_step(left_s / std::min(0.06, 0.3 * tone.duration_s));
    }

    const double octaves = exact::log2(base_hz_ / base_before_hz_) * along;
    out.f0_hz = base_before_hz_ * exact::exp2(octaves + pitch_cents(tone, time_s) / 1200.0);
    out.sounding = true;
    const double level = (level_before_ + along * (level_ - level_before_)) *
                         exact::amplitude_of_db(swell_db_) * envelope;
    out.harmonics = std::max(spectrum_.count, along < 1.0 ? spectrum_before_.count : 0);
    for (int k = 1; k <= out.harmonics; ++k) {
        const auto i = static_cast<std::size_t>(k - 1);
        const double hz = out.f0_hz * k;
        const double room_above =
            std::clamp((kHighestOfRate * rate_hz_ - hz) / (kFadeOfRate * rate_hz_), 0.0, 1.0);
        // High harmonics come later and go earlier than low ones.
        const double behind = 1.0 + hz * 0.002;
        const double share = envelope / (envelope + behind * (1.0 - envelope));
        out.amplitude[i] = level * share * room_above *
                           (spectrum_before_.amplitude[i] +
                            along * (spectrum_.amplitude[i] - spectrum_before_.amplitude[i]));
    }

    out.breath = level * exact::amplitude_of_db(kBreathDb);
    if (!slur && !tone.slurred) {
        const double chiff = std::min(1.0, since_s / 0.004) * exact::exp2(-since_s / 0.012);
        out.breath += level_ * exact::amplitude_of_db(kChiffDb) * chiff;
    }
}

void SynthPlayer::sum_harmonics(const Posture& from, const Posture& to, Step& out) noexcept {
    constexpr double kPerSample = 1.0 / static_cast<double>(kStep);
    // Out of silence the pitch does not glide from where it was last.
    const double start_hz = from.sounding ? from.f0_hz : to.f0_hz;
    const double end_hz = to.sounding ? to.f0_hz : start_hz;
    const int harmonics = std::max(from.harmonics, to.harmonics);
    std::array<double, kStep> c{};
    std::array<double, kStep> s{};
    std::array<double, kStep> re{};
    std::array<double, kStep> im{};
    std::array<double, kStep> sum{};
    for (std::size_t j = 0; j < kStep; ++j) {
        const double hz =
            start_hz + (end_hz - start_hz) * (static_cast<double>(j) + 0.5) * kPerSample;
        phase_turns_ += hz / rate_hz_;
        const exact::SinCos angle = exact::sin_cos_turns(phase_turns_);
        c[j] = re[j] = angle.cos;
        s[j] = im[j] = angle.sin;
        out.f0_hz[j] = static_cast<float>(
            start_hz + (end_hz - start_hz) * (static_cast<double>(j) + 1.0) * kPerSample);
    }
    phase_turns_ -= std::floor(phase_turns_);
    for (int k = 0; k < harmonics; ++k) {
        const auto i = static_cast<std::size_t>(k);
        const double first = from.amplitude[i];
        const double slope = (to.amplitude[i] - first) * kPerSample;
        const exact::SinCos offset = offset_[i];
        for (std::size_t j = 0; j < kStep; ++j) {
            const double amplitude = first + slope * static_cast<double>(j + 1);
            sum[j] += amplitude * (im[j] * offset.cos + re[j] * offset.sin);
            const double turned = re[j] * c[j] - im[j] * s[j];
            im[j] = re[j] * s[j] + im[j] * c[j];
            re[j] = turned;
        }
    }
    for (std::size_t j = 0; j < kStep; ++j) {
        out.samples[j] = static_cast<float>(sum[j]);
    }
}

void SynthPlayer::add_noise(const Posture& from, const Posture& to, Step& out) noexcept {
    const double slope = (to.breath - from.breath) / static_cast<double>(kStep);
    const bool breathing = from.breath > 0.0 || to.breath > 0.0;
    for (std::size_t j = 0; j < kStep; ++j) {
        double sum = 0.0;
        for (OnePole& band : room_) {
            band.value += band.share * (noise_.white() - band.value);
            sum += band.gain * band.value;
        }
        sum *= room_rms_;
        if (breathing) {
            const double white = noise_.white();
            breath_high_.value += breath_high_.share * (white - breath_high_.value);
            breath_low_.value += breath_low_.share * (white - breath_low_.value);
            sum += (from.breath + slope * static_cast<double>(j + 1)) * breath_gain_ *
                   (breath_high_.value - breath_low_.value);
        }
        out.samples[j] = std::clamp(out.samples[j] + static_cast<float>(sum), -1.0F, 1.0F);
    }
}

void SynthPlayer::next(Step& out) noexcept {
    out.count = 0;
    if (position_ >= length_) {
        if (!score_.repeat) {
            return;
        }
        position_ = 0;
        in_tone_ = false;
        look(0.0, now_);
    }
    const double time_s = static_cast<double>(position_ + kStep) / rate_hz_;
    played_s_ += static_cast<double>(kStep) / rate_hz_;
    look(time_s, then_);
    out.samples.fill(0.0F);
    out.f0_hz.fill(0.0F);
    if (now_.sounding || then_.sounding) {
        sum_harmonics(now_, then_, out);
    }
    add_noise(now_, then_, out);
    now_ = then_;
    out.count = static_cast<std::size_t>(std::min<std::uint64_t>(kStep, length_ - position_));
    position_ += kStep;
}

} // namespace bellhand::audio
