#include "bleed/tone_remover.h"

#include <algorithm>
#include <cmath>

namespace bellhand::bleed {

namespace {

constexpr std::size_t kUnsettledFrames = 2; // windows that began before a voice did
constexpr std::size_t kFirstLook = 12;      // half a second: the room has answered
constexpr std::size_t kJudged = 6;          // newest frames that say whether it fits
constexpr std::size_t kPatience = 110; // frames, 4.7 s, until it is said that it cannot be learnt
constexpr std::size_t kForgetClock = 50;
constexpr double kLearnt = 0.03;          // left over held: 15 dB
constexpr double kUnheardShare = 0.05;    // of the sound: 13 dB under everything else
constexpr double kMisfit = 4.0;           // times the floor
constexpr double kGood = 1e-3;            // left over held that is always good enough
constexpr double kLouder = 1.5;           // of the sound in pauses: somebody plays
constexpr std::size_t kQuietStretch = 12; // frames that must fit each other while nothing is added
constexpr std::size_t kLoudStretch = 70;  // likewise while the sound is louder than in pauses: 3 s

constexpr double kDeaf_s = 1.5;  // longest time that learning keeps silence
constexpr double kBlind_s = 0.5; // after the start of a voice nothing is known of its level
constexpr double kShort_s = 0.01;
constexpr double kPass = 4.0; // 6 dB over what is ours
constexpr double kLate_s = 0.17;
constexpr double kRinging = 1.05;   // more than what sounds now: it fades
constexpr double kRingDecay = 13.8; // nepers of power a second: 60 dB in one second
constexpr double kFirstLeft = 0.01; // left over held, 20 dB
constexpr double kTonal = 0.02;     // of what is left in a pause: enough to be heard as a pitch

} // namespace

ToneRemover::ToneRemover(double sample_rate_hz) : rate_hz_(sample_rate_hz), bank_(sample_rate_hz) {
    fit_.set_lines(bank_);
}

Report ToneRemover::report() const noexcept {
    return report_;
}

void ToneRemover::lose_phase() noexcept {
    if (state_ == State::silent) {
        return;
    }
    path_.gain.fill({});
    learn_anew(false);
}

void ToneRemover::learn_anew(bool horn_sounds) noexcept {
    fit_.clear();
    fit_.set_lines(bank_);
    hops_ = steady_ = misfits_ = 0;
    unlearnt_ = 0.0;
    horn_before_ = horn_sounds;
    state_ = State::learning;
}

void ToneRemover::take_voices(const Voices& voices, bool horn_sounds) noexcept {
    bool another = false;
    bool any = false;
    for (int v = 0; v < kVoices; ++v) {
        const double hz = voices[static_cast<std::size_t>(v)].hz;
        any = any || hz > 0.0;
        if (hz == bank_.hz(v)) {
            continue;
        }
        another = another || hz > 0.0;
        bank_.set_voice(v, hz);
        std::fill_n(path_.gain.begin() + v * kHarmonics, kHarmonics, std::complex<float>{});
    }
    if (!any) {
        if (state_ != State::silent) {
            fit_.clear();
        }
        state_ = State::silent;
    } else if (another) {
        learn_anew(horn_sounds);
    } else if (state_ != State::silent) {
        fit_.set_lines(bank_);
    }
}

void ToneRemover::set_coefficients(double time_s) noexcept {
    for (int v = 0; v < kVoices; ++v) {
        for (int k = 0; k < bank_.lines(v); ++k) {
            const int line = v * kHarmonics + k;
            bank_.set_coefficient(line, path_.at(line, bank_.line_hz(line), time_s));
        }
    }
}

void ToneRemover::remove(std::span<float> samples,
                         const Voices& voices,
                         bool horn_sounds) noexcept {
    take_voices(voices, horn_sounds);
    for (float& sample : samples) {
        sample =
            std::isfinite(sample) ? sample : 0.0F; // one of them would spoil every sum after it
    }
    while (!samples.empty()) {
        const auto part = samples.first(std::min({samples.size(), bank_.room(), std::size_t{128}}));
        if (state_ != State::silent) {
            set_coefficients(time_s_ + 0.5 * static_cast<double>(part.size()) / rate_hz_);
        }
        bank_.run(part, voices);
        gate(part, voices, horn_sounds);
        time_s_ += static_cast<double>(part.size()) / rate_hz_;
        if (bank_.room() == 0) {
            end_hop();
        }
        samples = samples.subspan(part.size());
    }
}

void ToneRemover::end_hop() noexcept {
    const LineBank::Frame frame = bank_.take(fit_.next_frame());
    fit_.finish_frame(frame, time_s_ - bank_.hop_s());
    report_.state = state_;
    report_.changes = changes_;
    if (state_ == State::silent) {
        // The room's level follows down at once and up slowly.
        room_ = room_ == 0.0 ? frame.power_heard : std::min(frame.power_heard, room_ * 1.02);
        report_.heard = report_.left = 0.0;
        return;
    }
    ++hops_;
    steady_ = hops_ > kUnsettledFrames && frame.steady ? steady_ + 1 : 0;
    if (static_cast<double>(hops_) * bank_.hop_s() > kBlind_s) {
        unlearnt_ = std::max(unlearnt_, frame.power_heard);
    }
    if (state_ == State::removed) {
        follow();
    } else {
        learn();
    }
    report_.state = state_;
}

bool ToneRemover::fits(std::size_t among, const Path& path) noexcept {
    PathFit::Fitness sum;
    for (std::size_t back = 0; back < among; ++back) {
        const PathFit::Fitness one = fit_.fitness(back, path);
        sum.held += one.held;
        sum.left += one.left;
    }
    return sum.left < kLearnt * sum.held;
}

void ToneRemover::adopt(const Path& path, std::size_t among) noexcept {
    path_ = path;
    state_ = State::removed;
    misfits_ = 0;
    floor_ = quiet_ = rest_ = 0.0;
    double held = 0.0;
    for (std::size_t back = 0; back < kJudged; ++back) {
        const PathFit::Fitness one = fit_.fitness(back, path_);
        floor_ += one.left / static_cast<double>(kJudged);
        held += one.held / static_cast<double>(kJudged);
        quiet_ += fit_.frame(back).power_heard / static_cast<double>(kJudged);
        // These windows were heard before anything was taken away: the noise beside the lines is what was not theirs.
        rest_ += std::max(fit_.frame(back).power_heard - one.held, one.left) /
                 static_cast<double>(kJudged);
    }
    // A fit looks better on its own windows than on the next ones: until those have spoken, less is believed.
    floor_ = std::max(floor_, kFirstLeft * held);
    rest_ = std::max(rest_, kFirstLeft * held);
    for (std::size_t back = 0; back < fit_.frames(); ++back) {
        fit_.mark(back,
                  back < among &&
                      fit_.fitness(back, path_).left < std::max(kMisfit * floor_, kGood * held));
    }
    report_.heard = expected_ = held;
    report_.left = floor_;
    short_ = std::min(short_, rest_);
    since_learnt_ = 0;
    report_.clock_ppm = 1e6 * path_.clock;
}

void ToneRemover::learn() noexcept {
    if (steady_ < kFirstLook) {
        return;
    }
    trial_ = path_;
    if (fit_.fit(kFirstLook, false, trial_) && fits(kJudged, trial_)) {
        adopt(trial_, kFirstLook);
        return;
    }
    const PathFit::Fitness found = fit_.fitness(0, trial_);
    fit_.reject();
    if (hops_ % kForgetClock == 0) {
        fit_.forget_clock();
    }
    const double heard = fit_.frame(0).power_heard;
    if (found.held < kUnheardShare * heard) {
        state_ = State::unheard;
        report_.heard = found.held;
    } else {
        state_ = hops_ > kPatience ? State::stuck : State::learning;
    }
}

void ToneRemover::follow() noexcept {
    const PathFit::Fitness newest = fit_.fitness(0, path_);
    const bool good = newest.left < std::max(kMisfit * floor_, kGood * newest.held);
    if (good && steady_ > 0) {
        misfits_ = 0;
        fit_.mark(0, true);
        constexpr double kShare = 0.1;
        floor_ += kShare * (newest.left - floor_);
        quiet_ += kShare * (fit_.frame(0).power_heard - quiet_);
        if (++since_learnt_ > kUnsettledFrames) { // windows in which removal had not begun
            rest_ += kShare * (fit_.frame(0).power_left - rest_);
        }
        report_.heard = expected_ = newest.held;
        report_.left = floor_;
        if (fit_.fit(PathFit::kFrames, true, path_)) {
            report_.clock_ppm = 1e6 * path_.clock;
        }
        return;
    }
    if (steady_ == 0) {
        misfits_ = 0; // fading: nothing can be told
        return;
    }
    ++misfits_;
    const bool louder = fit_.frame(0).power_heard > kLouder * quiet_;
    const std::size_t stretch = louder ? kLoudStretch : kQuietStretch;
    if (misfits_ < stretch || misfits_ % 4 != 0) {
        return;
    }
    // All that stood still since the voices changed, if it fits: then the way is the same and was only known too badly.
    const std::size_t all = std::min(steady_, PathFit::kFrames);
    for (const std::size_t among : {all, stretch}) {
        trial_ = path_;
        if (fit_.fit(among, false, trial_) && fits(among, trial_)) {
            changes_ += among == stretch ? 1 : 0;
            adopt(trial_, among);
            return;
        }
        fit_.reject();
    }
}

/// While it is not known how our tones come back, and while the room still rings of them, only what is louder passes:
/// else their beginnings and ends would be heard as notes.
void ToneRemover::gate(std::span<float> samples, const Voices& voices, bool horn_sounds) noexcept {
    double power = 0.0;
    for (const float sample : samples) {
        power += static_cast<double>(sample) * static_cast<double>(sample);
    }
    const auto count = static_cast<double>(samples.size());
    const double share = std::min(1.0, count / (kShort_s * rate_hz_));
    short_ += share * (power / count - short_);

    double now = 0.0; // of what our tones should be at the microphone
    for (int v = 0; v < kVoices; ++v) {
        const double gain = voices[static_cast<std::size_t>(v)].gain_after;
        for (int k = 0; k < bank_.lines(v); ++k) {
            now += 0.5 * gain * gain *
                   static_cast<double>(
                       std::norm(path_.gain[static_cast<std::size_t>(v * kHarmonics + k)]));
        }
    }
    // The way back may be longer than the drivers say, so what fades may be due a little later than it seems.
    fading_s_ = now > 0.95 * expected_ ? 0.0 : fading_s_ + count / rate_hz_;
    const double decay = fading_s_ > kLate_s ? std::exp(-kRingDecay * count / rate_hz_) : 1.0;
    expected_ = std::max(now, expected_ * decay);
    double limit = 0.0; // nothing is held back
    const double since_s = static_cast<double>(hops_) * bank_.hop_s();
    if (state_ == State::learning && !horn_before_ && since_s < kDeaf_s) {
        limit = since_s < kBlind_s || unlearnt_ == 0.0 ? 1e30 : kPass * unlearnt_;
    } else if (expected_ > kRinging * now && expected_ > room_) {
        limit = kPass * expected_;
    } else if (state_ == State::removed && floor_ > kTonal * rest_) {
        limit = kPass * rest_;
    }
    const float goal = !horn_sounds && short_ < limit ? 0.0F : 1.0F;
    const float step = (goal - let_through_) / static_cast<float>(samples.size());
    for (float& sample : samples) {
        let_through_ += step;
        sample *= let_through_;
    }
    let_through_ = goal;
}

} // namespace bellhand::bleed
