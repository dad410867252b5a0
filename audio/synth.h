#pragma once

#include "audio/file.h"
#include "audio/source.h"

#include <vector>

namespace bellhand::audio {

/// One tone of the synthetic player. Plain physics, no names of notes: who writes the score knows the horn.
struct ToneSpec {
    double start_s = 0.0;
    double duration_s = 0.5;
    double f0_hz = 220.0;      ///< of the held part
    double attack_cents = 0.0; ///< how far off the first moment is; relaxes within about 60 ms
    double drift_cents_per_s = 0.0;
    double vibrato_hz = 0.0;
    double vibrato_cents = 0.0;
    double level_dbfs = -21.0; ///< rms
    double closure =
        0.0; ///< 0 open .. 1 full stop: darker fundamental, raised harmonics 4-8 at full stop
    double brightness = 0.0; ///< -1 soft .. +1 brassy
    bool slurred = false;    ///< glides from the tone before instead of a new attack
};

struct SynthScore {
    std::vector<ToneSpec> tones; ///< in order of start, not overlapping
    double length_s = 0.0;       ///< silence to the end; 0 = one second after the last tone
    double noise_dbfs = -62.0;   ///< room and breath
    double jitter_cents = 2.0;   ///< slow random wander of the lips, standard deviation
    std::uint64_t seed = 1;
    bool repeat = false; ///< start again at the end, for ever
};

/// The demo player as a source. Same seed, same samples.
[[nodiscard]] std::unique_ptr<Source>
make_synth(SynthScore score, Pace pace, double sample_rate_hz = 48000.0);

/// The same samples at once, for tests. Mono.
[[nodiscard]] std::vector<float> render(const SynthScore& score, double sample_rate_hz);

} // namespace bellhand::audio
