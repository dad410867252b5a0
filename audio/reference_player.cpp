#include "audio/reference_player.h"

#include "audio/horn_spectrum.h"

#include <algorithm>
#include <cmath>

namespace bellhand::audio {

namespace {

constexpr double kFadeS = 0.05;     // time constant of fades: no click, and no fright
constexpr double kInaudible = 1e-5; // a gain below this is silence
constexpr double kSoftnessHz =
    1500.0; // above it the soft sawtooth falls by 18 dB an octave instead of 6

bool playable(double hz) noexcept {
    return hz >= 20.0 && hz <= 5000.0;
}

double share_of(double time_s, double rate_hz) noexcept {
    return 1.0 - exact::exp2(-1.0 / (time_s * rate_hz * exact::kLn2));
}

} // namespace

int reference_spectrum(double hz,
                       ReferenceColour colour,
                       double sample_rate_hz,
                       std::span<double, kReferenceHarmonics> amplitude) noexcept {
    const double highest_hz = 0.45 * sample_rate_hz;
    const int harmonics = std::min(kReferenceHarmonics, static_cast<int>(highest_hz / hz));
    std::fill(amplitude.begin(), amplitude.end(), 0.0);
    if (colour == ReferenceColour::horn) {
        const HornSpectrum spectrum = horn_spectrum({hz, 0.0, -0.3}, highest_hz, 1);
        std::copy_n(spectrum.amplitude.begin(), harmonics, amplitude.begin());
        return harmonics;
    }
    double power = 0.0;
    for (int k = 1; k <= harmonics; ++k) {
        const double ratio = hz * k / kSoftnessHz;
        const double a = 1.0 / (k * (1.0 + ratio * ratio));
        amplitude[static_cast<std::size_t>(k - 1)] = a;
        power += 0.5 * a * a;
    }
    const double scale = 1.0 / std::sqrt(power);
    for (double& a : amplitude) {
        a *= scale;
    }
    return harmonics;
}

void ReferenceVoice::prepare(double sample_rate_hz) noexcept {
    rate_hz_ = sample_rate_hz;
    gain_ = 0.0;
    hz_ = 0.0; // the spectrum is made anew for the rate
}

void ReferenceVoice::want(double hz, double level_dbfs, ReferenceColour colour) noexcept {
    const bool sounds = playable(hz) && std::isfinite(level_dbfs);
    wanted_hz_ = sounds ? hz : 0.0;
    level_ = sounds ? exact::amplitude_of_db(std::min(level_dbfs, 0.0)) : 0.0;
    wanted_colour_ = colour;
}

void ReferenceVoice::take_wanted() noexcept {
    hz_ = wanted_hz_;
    colour_ = wanted_colour_;
    harmonics_ = reference_spectrum(hz_, colour_, rate_hz_, amplitude_);
}

void ReferenceVoice::add_to(std::span<float> out) noexcept {
    const bool change = hz_ != wanted_hz_ || colour_ != wanted_colour_;
    if (change && gain_ == 0.0 && wanted_hz_ > 0.0) {
        take_wanted();
    }
    const double goal = hz_ == wanted_hz_ && colour_ == wanted_colour_ ? level_ : 0.0;
    if (gain_ == 0.0 && goal == 0.0) {
        return;
    }
    const double share = share_of(kFadeS, rate_hz_);
    for (float& sample : out) {
        phase_turns_ += hz_ / rate_hz_;
        const exact::SinCos step = exact::sin_cos_turns(phase_turns_);
        double s = step.sin;
        double c = step.cos;
        double sum = 0.0;
        for (int k = 0; k < harmonics_; ++k) {
            sum += amplitude_[static_cast<std::size_t>(k)] * s;
            const double turned = s * step.cos + c * step.sin;
            c = c * step.cos - s * step.sin;
            s = turned;
        }
        gain_ += share * (goal - gain_);
        sample += static_cast<float>(gain_ * sum);
    }
    phase_turns_ -= std::floor(phase_turns_);
    if (goal == 0.0 && gain_ < kInaudible) {
        gain_ = 0.0;
    }
}

void ReferencePlayer::prepare(double sample_rate_hz, std::uint32_t stream) noexcept {
    rate_hz_ = sample_rate_hz;
    stream_ = stream;
    position_ = 0;
    for (ReferenceVoice& voice : drone_) {
        voice.prepare(rate_hz_);
    }
    note_.prepare(rate_hz_);
    note_end_ = 0;
    until_beat_ = 0.0;
    beat_number_ = 0;
    click_gain_ = 0.0;
    limiter_.prepare(rate_hz_);
}

void ReferencePlayer::want(const ReferenceSound& sound) noexcept {
    if (sound.note_request != wanted_.note_request) {
        const double length_s =
            std::isfinite(sound.note_s) ? std::clamp(sound.note_s, 0.0, 60.0) : 0.0;
        note_end_ = position_ + static_cast<std::uint64_t>(length_s * rate_hz_);
    }
    const bool was_beating = wanted_.beats_per_minute > 0.0;
    wanted_ = sound;
    wanted_.beats_per_minute = sound.beats_per_minute >= 20.0 && sound.beats_per_minute <= 300.0
                                   ? sound.beats_per_minute
                                   : 0.0;
    if (!was_beating && wanted_.beats_per_minute > 0.0) {
        until_beat_ = 0.0;
        beat_number_ = 0;
    }
}

void ReferencePlayer::fill(std::span<float> out, PlayedBlock* played) noexcept {
    std::fill(out.begin(), out.end(), 0.0F);
    const auto sound = [&](ReferenceVoice& voice, std::size_t i) {
        const double before = voice.gain();
        voice.add_to(out);
        if (played != nullptr) {
            played->voices[i] = {voice.hz(), before, voice.gain(), voice.colour()};
        }
    };
    for (std::size_t i = 0; i < drone_.size(); ++i) {
        drone_[i].want(wanted_.drone_hz[i], wanted_.drone_dbfs, wanted_.colour);
        sound(drone_[i], i);
    }
    note_.want(position_ < note_end_ ? wanted_.note_hz : 0.0, wanted_.note_dbfs, wanted_.colour);
    sound(note_, drone_.size());
    add_beats(out);
    const bool limited = limiter_.limit(out);
    if (played != nullptr) {
        played->limited = limited;
    }
    position_ += out.size();
}

void ReferencePlayer::add_beats(std::span<float> out) noexcept {
    if (wanted_.beats_per_minute == 0.0 && click_gain_ == 0.0) {
        return;
    }
    const double decay = 1.0 - share_of(kClickS, rate_hz_);
    for (std::size_t i = 0; i < out.size(); ++i) {
        if (wanted_.beats_per_minute > 0.0) {
            if (until_beat_ < 1.0) {
                const int in_bar = wanted_.beats_in_bar > 0
                                       ? static_cast<int>(beat_number_ % static_cast<std::uint32_t>(
                                                                             wanted_.beats_in_bar))
                                       : 1;
                // A full ring means that nobody wants to know.
                (void)beats_.try_push({position_ + i, beat_number_, in_bar, stream_});
                click_hz_ = in_bar == 0 ? kBarHz : kBeatHz;
                click_gain_ = exact::amplitude_of_db(
                    std::isfinite(wanted_.beat_dbfs) ? std::min(wanted_.beat_dbfs, 0.0) : -200.0);
                click_phase_turns_ = 0.0;
                until_beat_ += 60.0 * rate_hz_ / wanted_.beats_per_minute;
                ++beat_number_;
            }
            until_beat_ -= 1.0;
        }
        if (click_gain_ > 0.0) {
            out[i] +=
                static_cast<float>(click_gain_ * exact::sin_cos_turns(click_phase_turns_).sin);
            click_phase_turns_ += click_hz_ / rate_hz_;
            click_gain_ *= decay;
            if (click_gain_ < kInaudible) {
                click_gain_ = 0.0;
            }
        }
    }
}

} // namespace bellhand::audio
