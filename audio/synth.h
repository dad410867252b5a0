#pragma once

#include "audio/file.h"
#include "audio/source.h"

#include <memory>
#include <vector>

namespace bellhand::audio {

/// One tone of the synthetic player. Plain physics, no names of notes: who writes the score knows the horn.
struct ToneSpec {
    double start_s =
        0.0; ///< the tone is silent before and after its duration; inside it, the attack takes
    double duration_s = 0.5;   ///< 15 to 70 ms (long for low tones) and the release up to 60 ms
    double f0_hz = 220.0;      ///< of the held part: with drift, in the middle of the tone
    double attack_cents = 0.0; ///< how far off the first moment is; relaxes within about 60 ms
    double drift_cents_per_s = 0.0;
    double vibrato_hz = 0.0;
    double vibrato_cents = 0.0; ///< to each side
    double level_dbfs =
        -21.0; ///< rms; a louder tone is also brighter, by one step of brightness for 24 dB
    double closure =
        0.0; ///< 0 open .. 1 full stop: fundamental 25 to 40 dB under harmonics 4-8 at full stop
    double brightness = 0.0; ///< -1 soft .. +1 brassy
    bool slurred =
        false; ///< glides from the tone before (when that ends within 30 ms) instead of a new attack
};

struct SynthScore {
    std::vector<ToneSpec> tones; ///< in order of start, not overlapping
    double length_s = 0.0;       ///< silence to the end; 0 = one second after the last tone
    double noise_dbfs =
        -62.0; ///< of the room, rms, always there; the player's breath adds to it under a tone
    double jitter_cents = 2.0; ///< slow random wander of the lips, standard deviation
    std::uint64_t seed = 1;
    bool repeat = false; ///< start again at the end, for ever
};

/// Whether the player can play this: 8 to 192 kHz, tones in order, all figures finite, frequencies from 10 Hz to 0.45
/// of the sample rate, at most six hours. Errors (usage): names the first tone that it cannot play.
[[nodiscard]] Result<void> check_score(const SynthScore& score, double sample_rate_hz);

/// The demo player as a source. Same seed, same samples, bit by bit on every machine. A score that `check_score`
/// refuses is refused by `start`.
[[nodiscard]] std::unique_ptr<Source>
make_synth(SynthScore score, Pace pace, double sample_rate_hz = 48000.0);

class MusicStand;
/// The same, playing from a stand on which another score may be laid at any time. What the player cannot play is silence.
[[nodiscard]] std::unique_ptr<Source>
make_synth(std::shared_ptr<MusicStand> stand, Pace pace, double sample_rate_hz = 48000.0);

/// Sound and what is true of it.
struct Rendering {
    std::vector<float> samples; ///< mono, within +-1
    std::vector<float>
        f0_hz; ///< at each sample, with attack, drift, vibrato and wander; 0 where no tone sounds
};

/// The same samples at once, for tests (once through, even when the score repeats). Empty when `check_score` refuses.
[[nodiscard]] std::vector<float> render(const SynthScore& score, double sample_rate_hz);
[[nodiscard]] Rendering render_with_truth(const SynthScore& score, double sample_rate_hz);

} // namespace bellhand::audio
