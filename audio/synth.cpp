#include "audio/synth.h"

#include "audio/music_stand.h"
#include "audio/paced_source.h"
#include "audio/synth_feed.h"
#include "audio/synth_player.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace bellhand::audio {

namespace {

constexpr double kLongestS = 6.0 * 3600.0;

bool finite(const ToneSpec& tone) noexcept {
    return std::isfinite(tone.start_s) && std::isfinite(tone.duration_s) &&
           std::isfinite(tone.f0_hz) && std::isfinite(tone.attack_cents) &&
           std::isfinite(tone.drift_cents_per_s) && std::isfinite(tone.vibrato_hz) &&
           std::isfinite(tone.vibrato_cents) && std::isfinite(tone.level_dbfs) &&
           std::isfinite(tone.closure) && std::isfinite(tone.brightness);
}

/// What is wrong with a tone, or null.
const char* fault_of(const ToneSpec& tone, double earliest_s, double sample_rate_hz) noexcept {
    if (!finite(tone)) {
        return "has a figure that is not a number";
    }
    if (tone.start_s < earliest_s - 1e-9) {
        return "begins before the tone before it has ended";
    }
    if (tone.duration_s <= 0.0) {
        return "has no duration";
    }
    if (tone.f0_hz < 10.0 || tone.f0_hz > 0.45 * sample_rate_hz) {
        return "has a frequency that the sample rate cannot carry";
    }
    return nullptr;
}

} // namespace

Result<void> check_score(const SynthScore& score, double sample_rate_hz) {
    if (!(sample_rate_hz >= 8000.0 && sample_rate_hz <= 192000.0)) {
        return usage_error("The demo player needs a sample rate between 8000 and 192000 Hz.");
    }
    if (!std::isfinite(score.length_s) || !std::isfinite(score.noise_dbfs) ||
        !std::isfinite(score.jitter_cents)) {
        return usage_error(
            "The demo player's score has a length, noise or jitter that is not a number.");
    }
    double end_s = 0.0;
    for (std::size_t i = 0; i < score.tones.size(); ++i) {
        if (const char* fault = fault_of(score.tones[i], end_s, sample_rate_hz)) {
            return usage_error("Tone " + std::to_string(i + 1) + " of the demo player's score " +
                               fault + ".");
        }
        end_s = score.tones[i].start_s + score.tones[i].duration_s;
    }
    if (std::max(end_s, score.length_s) > kLongestS) {
        return usage_error("The demo player's score is longer than six hours.");
    }
    return {};
}

namespace {

std::unique_ptr<Source>
source_of(Result<std::unique_ptr<SampleFeed>> feed, Pace pace, double sample_rate_hz) {
    SourceStatus about;
    about.name = "demo player";
    about.sample_rate_hz = sample_rate_hz;
    about.channels = 1;
    about.channel = 1;
    return std::make_unique<PacedSource>(std::move(feed), pace, std::move(about));
}

} // namespace

std::unique_ptr<Source> make_synth(SynthScore score, Pace pace, double sample_rate_hz) {
    Result<std::unique_ptr<SampleFeed>> feed = nullptr;
    if (const Result<void> playable = check_score(score, sample_rate_hz); playable) {
        feed = std::make_unique<SynthFeed>(std::make_shared<MusicStand>(std::move(score)),
                                           sample_rate_hz);
    } else {
        feed = tl::unexpected<Error>(playable.error());
    }
    return source_of(std::move(feed), pace, sample_rate_hz);
}

std::unique_ptr<Source>
make_synth(std::shared_ptr<MusicStand> stand, Pace pace, double sample_rate_hz) {
    return source_of(
        std::make_unique<SynthFeed>(std::move(stand), sample_rate_hz), pace, sample_rate_hz);
}

Rendering render_with_truth(const SynthScore& score, double sample_rate_hz) {
    Rendering out;
    if (!check_score(score, sample_rate_hz)) {
        return out;
    }
    SynthScore once = score;
    once.repeat = false;
    SynthPlayer player(std::move(once), sample_rate_hz);
    SynthPlayer::Step step;
    for (player.next(step); step.count > 0; player.next(step)) {
        const auto count = static_cast<std::ptrdiff_t>(step.count);
        out.samples.insert(out.samples.end(), step.samples.begin(), step.samples.begin() + count);
        out.f0_hz.insert(out.f0_hz.end(), step.f0_hz.begin(), step.f0_hz.begin() + count);
    }
    return out;
}

std::vector<float> render(const SynthScore& score, double sample_rate_hz) {
    return render_with_truth(score, sample_rate_hz).samples;
}

} // namespace bellhand::audio
