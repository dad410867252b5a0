#pragma once

#include "pitch/motion.h"
#include "trainer/note_tracker.h"

#include <vector>

namespace bellhand::trainer {

/// Remembers the newest judged pitches (22 s of them), so that a note that has ended can be asked how it moved. For the
/// thread that shows notes; allocates only when made.
class HeldMotion {
public:
    HeldMotion();
    void add(const Reading& reading) noexcept;
    void clear() noexcept { count_ = 0; }

    /// How the held part moved: the attack (100 ms) and the release (30 ms) are left out, of a long note the newest eight
    /// seconds count. Not known when the note is too short or too long ago.
    [[nodiscard]] pitch::PitchMotion of(const PlayedNote& note) noexcept;

private:
    std::vector<pitch::PitchPoint> points_; ///< a ring
    std::vector<pitch::PitchPoint> held_;   ///< the note that is asked about, in order of time
    std::size_t count_ = 0;                 ///< ever added
};

} // namespace bellhand::trainer
