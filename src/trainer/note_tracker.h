#pragma once

#include "trainer/reading.h"

#include <cstdint>

namespace bellhand::trainer {

/// One note as it was played. Times in seconds of the session.
struct PlayedNote {
    std::uint32_t index = 0; ///< in the session, from 0
    double start_s = 0.0;
    double duration_s = 0.0;
    horn::Note written;
    int partial = 0;
    horn::Hand hand = horn::Hand::open; ///< the position the note calls for
    double f0_hz = 0.0;                 ///< median of the held part
    double target_hz = 0.0;
    double deviation_cents = 0.0; ///< median of the held part, attack left out
    double spread_cents =
        0.0; ///< half the distance between the 16th and 84th percentile of the held part
    double attack_cents = 0.0;  ///< median deviation of the attack (first 100 ms)
    double level_dbfs = -200.0; ///< energy mean of the held part
    bool finished = false;      ///< false: still sounding, figures so far
};

/// Cuts the stream of readings into notes. A note ends by silence, by a new onset, or by settling on another pitch.
/// Holds a note of any length in constant memory.
class NoteTracker {
public:
    NoteTracker();
    /// True when `ended()` holds a note that just ended. No allocation.
    [[nodiscard]] bool add(const Reading& reading) noexcept;
    [[nodiscard]] const PlayedNote& ended() const noexcept { return ended_; }
    /// The note now sounding, with its figures so far; index and start stay the same until it ends.
    [[nodiscard]] bool sounding(PlayedNote& out) const noexcept;
    /// End of the stream: true when a note was still sounding, now in `ended()`.
    [[nodiscard]] bool finish() noexcept;

private:
    PlayedNote ended_;
};

} // namespace bellhand::trainer
