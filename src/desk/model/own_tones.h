#pragma once

#include "audio/reference_sound.h"

#include <vector>

namespace bellhand::desk {

/// The pitches that the program itself sounds. The input that hears what this computer plays hears them with the call:
/// nobody played them.
class OwnTones {
public:
    /// What is to sound from now on. `now_s`: any steady clock.
    void follow(const audio::ReferenceSound& wanted, double now_s);
    /// A note at `f0_hz` that is told now may be one of them: at that pitch, or what two of them have in common below.
    [[nodiscard]] bool may_be(double f0_hz, double now_s) const noexcept;

private:
    struct Tone {
        double hz = 0.0;
        double until_s = 0.0;
    };
    void sounds(double hz, double until_s);

    std::vector<Tone> tones_; ///< and those that ended a moment ago, whose note is not told yet
    std::uint32_t note_request_ = 0;
};

} // namespace bellhand::desk
