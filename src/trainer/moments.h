#pragma once

#include "horn/hand_chart.h"

#include <algorithm>
#include <array>
#include <cstddef>

namespace bellhand::trainer {

/// One reading, as far as it is needed while it is recent. Pitches in cents from 1 Hz.
struct Moment {
    double time_s = 0.0;
    bool tone = false;     ///< a pitch is shown
    bool sure = false;     ///< and may be judged
    bool withheld = false; ///< a pitch is followed that is not shown
    double confidence = 0.0;
    double cents = 0.0;
    horn::NoteReading note;        ///< of the live pitch
    horn::NoteReading judged_note; ///< nearest to the judged pitch
    bool judged = false;
    double judged_time_s = 0.0;
    double judged_cents = 0.0;
    double power = 0.0;
    double smooth_db = -200.0;
    double rise_db = 0.0; ///< new sound of any pitch, at rise_time_s
    double rise_time_s = 0.0;
    // what of it the note has counted
    bool in_pitch = false;
    bool in_level = false;
    bool in_held_level = false;
    int vote = -1;
};

/// The newest readings, 1.36 s of them, in a ring.
class Moments {
public:
    Moment& add() noexcept {
        ++seen_;
        return recent(0) = Moment{};
    }
    /// 0 is the newest; `back` < known().
    [[nodiscard]] Moment& recent(std::size_t back) noexcept {
        return ring_[(seen_ - 1 - back) % kMoments];
    }
    [[nodiscard]] const Moment& recent(std::size_t back) const noexcept {
        return ring_[(seen_ - 1 - back) % kMoments];
    }
    [[nodiscard]] std::size_t known() const noexcept { return std::min(seen_, kMoments); }

    static constexpr std::size_t kMoments = 256; // a power of two

private:
    std::array<Moment, kMoments> ring_{};
    std::size_t seen_ = 0;
};

} // namespace bellhand::trainer
