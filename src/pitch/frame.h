#pragma once

#include <array>
#include <cstdint>

namespace bellhand::pitch {

inline constexpr int kMaxHarmonics = 32;

/// What one hop of sound says. Plain data, copied between threads.
///
/// `time_s` is the time of the newest sample that the frame used: the frame could have been shown at that moment.
/// Two readings of the same sound: the live one (f0 at the newest sample, for the eye) and the judged one (the best
/// estimate of f0 at the earlier instant `judged_time_s`, for the score and the log).
struct PitchFrame {
    double time_s = 0.0;

    bool voiced = false;      ///< a horn-like tone sounds; the pitch fields below hold only then
    double f0_hz = 0.0;       ///< live reading, 0 when unvoiced
    double f0_sd_cents = 0.0; ///< standard deviation of the live reading
    float confidence =
        0.0F; ///< 0..1, probability that f0 is the right pitch (no octave or other gross error)

    bool doubtful =
        false; ///< voiced, but with too little confidence to be judged: shown pale, counts for nothing
    bool withheld =
        false; ///< a pitch is followed that is not shown: it slides or breaks as a voice does

    double judged_time_s = 0.0; ///< the instant the judged value describes
    double judged_hz = 0.0;     ///< judged reading, 0 when there is none
    double judged_sd_cents = 0.0;

    float level_dbfs =
        -200.0F; ///< rms of the newest hop, dB re a full-scale square wave (digital 1.0 rms)
    float level_dba =
        -200.0F; ///< the same, A-weighted (IEC 61672-1), still re full scale: not a sound level
    float noise_dbfs = -200.0F; ///< learnt level of the room without the horn
    float snr_db = 0.0F;        ///< tone against everything that is not the tone

    bool onset = false;        ///< a note begins at `onset_time_s`
    double onset_time_s = 0.0; ///< of the newest onset

    float rise_db = 0.0F; ///< how much new sound came in around `rise_time_s`, voiced or not
    double rise_time_s = 0.0;

    int harmonics = 0;                              ///< how many entries of harmonic_db are filled
    std::array<float, kMaxHarmonics> harmonic_db{}; ///< level of harmonic i+1 in dBFS (rms)

    std::uint64_t dropped_samples =
        0;                ///< lost between microphone and estimator since the start of the session
    bool clipped = false; ///< the newest hop reached full scale
};

} // namespace bellhand::pitch
