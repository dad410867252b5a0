#pragma once

#include "bench/make_signals/catalogue.h"

#include <string>
#include <vector>

namespace bellhand::test {

/// A drone that the program itself plays while the signal is heard: what it plays, and the way back to the microphone.
struct DronePlayed {
    std::vector<double> hz; ///< one or two pitches
    bool horn_colour = false;
    double start_s = 0.1;
    double drift = 0.0;   ///< the output's second is longer by this share
    double delay_s = 0.0; ///< buffers; the room's own way comes on top
};

/// Adds the drone to signals: played by the program's own player, through a small loudspeaker, a room by image sources
/// and two devices with clocks of their own.
class DroneRig {
public:
    static constexpr double kPrelude_s = 2.3; ///< of drone before the signal
    static constexpr double kBelow_db = 6.0;  ///< the drone at the microphone, under the horn

    explicit DroneRig(std::string seed);
    /// Puts a prelude of the signal's own noise before it.
    void prepend(Entry& entry, Samples& samples, std::vector<double>& truth) const;
    /// Adds a drone that suits the signal's first pitch and tells which.
    [[nodiscard]] DronePlayed add_drone(const Entry& entry, Samples& samples) const;

private:
    std::string seed_;
    std::vector<Samples> rooms_; ///< impulse responses
};

} // namespace bellhand::test
