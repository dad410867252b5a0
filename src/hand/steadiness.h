#pragma once

#include "hand/hop.h"

namespace bellhand::hand {

/// Where a regular unsteadiness comes from.
enum class Sway {
    none,
    hand,  ///< pitch and brightness swing together: the hand in the bell
    lips,  ///< the level swings alone: the mouthpiece on the lips
    breath ///< pitch and level swing, the colour does not
};

/// How quietly a note was held. All of it is of the held part; drift is taken out before the rest is looked at.
struct Steadiness {
    bool known = false;          ///< the held part has at least half a second
    double unsteady_cents = 0.0; ///< the figure: standard deviation of the held pitch
    double drift_cents_per_s = 0.0;
    double tremor_cents = 0.0; ///< rms of the pitch between 3 and 12 Hz (from memory)
    double tremor_hz = 0.0;    ///< where it is strongest
    double sway_db = 0.0;      ///< rms of the level between 3 and 12 Hz
    double with_colour = 0.0;  ///< correlation of pitch and brightness in that band, -1..1
    Sway sway = Sway::none;
};

/// From the hops between two times. Band powers by a Fourier sum under a Hann window (periodogram after Welch 1967, one
/// stretch), of at most the newest six seconds. No allocation.
[[nodiscard]] Steadiness steadiness_of(const HopRing& hops, double from_s, double to_s) noexcept;

/// Bands of the figure in cents: below `steady` a steady note, above `uneven` an unsteady one (common practice, no
/// source).
struct SteadinessBands {
    double steady_cents = 3.0;
    double uneven_cents = 8.0;
};

} // namespace bellhand::hand
