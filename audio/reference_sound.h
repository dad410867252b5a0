#pragma once

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
};

/// Highest peak that ever leaves the program: 12 dB under full scale.
inline constexpr float kLoudestPeak = 0.25F;

/// One beat of the metronome.
struct Beat {
    std::uint64_t sample = 0; ///< index in the output stream
    std::uint32_t number = 0; ///< since the metronome was started, from 0
    std::int32_t in_bar = 0;  ///< from 0
    std::uint32_t stream = 0; ///< of the output
};

} // namespace bellhand::audio
