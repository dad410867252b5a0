#pragma once

#include "core/cents.h"
#include "support/fake_practice.h"
#include "support/hand_mover.h"

namespace bellhand::test {

/// A tone with a moving hand in the hands of a test, and the silence after it.
inline void play(FakeState& state, const HandMover& player) {
    constexpr double kHop_s = 256.0 / 48000.0;
    constexpr double kF0_hz = 261.9; // partial 6 of the F horn
    const double start_s = state.elapsed_s + 0.5;
    for (double time_s = 0.0; time_s < player.length_s() + 0.4; time_s += kHop_s) {
        if (time_s > player.length_s()) {
            state.readings.push_back(silence_at(start_s + time_s));
            continue;
        }
        trainer::Reading reading = reading_of(start_s + time_s, {67, 0}, 0.0, state.tuning);
        reading.frame.f0_hz = reading.frame.judged_hz =
            kF0_hz * ratio_of_cents(player.cents(time_s));
        reading.frame.judged_time_s = start_s + time_s;
        state.readings.push_back(reading);
    }
    state.elapsed_s = start_s + player.length_s() + 0.5;
}

} // namespace bellhand::test
