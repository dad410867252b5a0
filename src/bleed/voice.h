#pragma once

#include <array>

namespace bellhand::bleed {

inline constexpr int kVoices = 5;     ///< that can sound at once
inline constexpr int kHarmonics = 48; ///< of each that are looked for

/// One harmonic tone of what the program itself plays, over a block, as it is due at the microphone.
struct Voice {
    double hz = 0.0;         ///< by the player's clock; 0 = silent
    double gain = 0.0;       ///< at the block's first sample; any unit, the same all the time
    double gain_after = 0.0; ///< at its end
};

using Voices = std::array<Voice, kVoices>;

} // namespace bellhand::bleed
