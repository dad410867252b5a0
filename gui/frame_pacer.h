#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace bellhand::desk {
class Desk;
class Session;
} // namespace bellhand::desk

namespace bellhand::gui {

/// How much is going on, and so how often to draw.
enum class Pace {
    lively,  ///< sound is heard or keys are pressed: 60 frames a second
    quiet,   ///< listening to silence
    resting, ///< nothing moves
    hidden,  ///< the window is not seen; readings are still taken in
};

/// Seconds from the beginning of one frame to the next.
[[nodiscard]] double frame_period_s(Pace pace) noexcept;

/// What the session listens to sounds.
[[nodiscard]] bool sounds(const desk::Session& session);

/// Of a window that is seen. `last_event_s`: when a key or the pointer moved; `last_sound_s`: when something sounded, kept
/// up to date here.
[[nodiscard]] Pace
pace_of(const desk::Desk& desk, double now_s, double last_event_s, double& last_sound_s);

/// How regular the frames were. Only for measuring.
class FrameStatistics {
public:
    /// A frame that began at `begin_s` and was ready after `work_s`. Frames that were not meant to be lively are left out.
    void add(Pace pace, double begin_s, double work_s);
    /// One line: frames, frames a second, percentiles of interval and work.
    [[nodiscard]] std::string summary() const;

private:
    std::vector<double> intervals_s_;
    std::vector<double> works_s_;
    double last_begin_s_ = -1.0;
};

} // namespace bellhand::gui
