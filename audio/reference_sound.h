#pragma once

#include "core/spsc_ring.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace bellhand::audio {

/// Colour of drone and reference note.
enum class ReferenceColour {
    soft_sawtooth, ///< all harmonics, the high ones weak
    horn,          ///< a soft open horn
};

/// What the program itself is to sound. Plain data; changes are faded, never cut.
///
/// Caution: these sounds can be loud in headphones. Levels begin low and the sum never exceeds a peak of
/// `kLoudestPeak`, but how loud that is only the amplifier knows: turn it down before the first sound.
struct ReferenceSound {
    static constexpr int kDroneVoices = 4;

    std::array<double, kDroneVoices> drone_hz{}; ///< 20 to 5000; 0 = silent
    double drone_dbfs = -42.0;                   ///< rms of each voice

    double note_hz = 0.0; ///< sounds once, each time `note_request` changes
    double note_s = 2.0;
    double note_dbfs = -36.0;
    std::uint32_t note_request = 0;

    double beats_per_minute = 0.0; ///< 20 to 300; 0 = no metronome
    int beats_in_bar = 4;          ///< the first of them is higher; 0 = all alike
    double beat_dbfs = -30.0;      ///< peak

    ReferenceColour colour = ReferenceColour::soft_sawtooth;

    /// One level for all: the note 6 dB over a drone's voice, the peak of a click 12.
    void set_level(double level_dbfs) noexcept {
        drone_dbfs = level_dbfs;
        note_dbfs = level_dbfs + 6.0;
        beat_dbfs = level_dbfs + 12.0;
    }
};

/// Whether the wish makes anything sound when `before` was the one until now.
[[nodiscard]] inline bool audible(const ReferenceSound& sound,
                                  const ReferenceSound& before) noexcept {
    const bool drone = std::any_of(
        sound.drone_hz.begin(), sound.drone_hz.end(), [](double hz) { return hz > 0.0; });
    return drone || sound.beats_per_minute > 0.0 || sound.note_request != before.note_request;
}

/// Highest peak that ever leaves the program: 12 dB under full scale.
inline constexpr float kLoudestPeak = 0.25F;

/// One beat of the metronome.
struct Beat {
    std::uint64_t sample = 0; ///< index in the output stream
    std::uint32_t number = 0; ///< since the metronome was started, from 0
    std::int32_t in_bar = 0;  ///< from 0
    std::uint32_t stream = 0; ///< of the output
};

/// One voice during a block that was played.
struct PlayedVoice {
    double hz = 0.0;         ///< by the output's clock; changes only in silence
    double gain = 0.0;       ///< rms at the block's first sample; 0 = silent
    double gain_after = 0.0; ///< rms at its end
    ReferenceColour colour = ReferenceColour::soft_sawtooth;
};

/// What a block of the output's stream consisted of: all there is to know of what may come back through the
/// microphone.
struct PlayedBlock {
    static constexpr int kVoices = ReferenceSound::kDroneVoices + 1; ///< the drone's, then the note

    std::uint64_t first_sample = 0; ///< index in the output's stream
    double sample_rate_hz = 0.0;
    double clock_s = 0.0;     ///< steady clock when it was handed to the device
    std::uint32_t stream = 0; ///< grows by one each time the device is taken again
    std::uint32_t count = 0;
    std::uint32_t underruns = 0; ///< times the device ran dry so far
    bool limited = false;        ///< the limiter worked: the sum is no longer a sum of pure tones
    std::array<PlayedVoice, kVoices> voices{};
};

using PlayedRing = SpscRing<PlayedBlock>;

} // namespace bellhand::audio
