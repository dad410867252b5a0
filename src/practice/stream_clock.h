#pragma once

#include <array>

namespace bellhand::practice {

/// Ties the seconds of one stream (samples over rate) to the steady clock, which all streams of the session share.
///
/// Blocks cross late by a random time, never early, so the least of (clock - stream seconds) is the best guess of the
/// constant between them. It is taken over the last two to four seconds, because sound devices run up to some 100 ppm
/// beside the clock; the first moments of a stream, when a device fills its buffers at once, do not count.
class StreamClock {
public:
    /// A new stream begins.
    void reset() noexcept { *this = StreamClock(); }
    /// The sample at `stream_s` was the newest at clock time `clock_s`.
    void see(double stream_s, double clock_s) noexcept;
    [[nodiscard]] bool known() const noexcept;
    /// Clock seconds at stream second 0. Only when `known`.
    [[nodiscard]] double offset_s() const noexcept;

private:
    static constexpr double kSettle_s = 0.2;
    static constexpr double kEnough_s = 0.2; ///< of blocks for the least to be near the truth
    static constexpr double kStretch_s = 2.0;
    static constexpr double kNone = 1e300;

    double began_s_ = kNone; ///< stream seconds first seen
    double newest_s_ = kNone;
    double turns_s_ = kNone;                    ///< stream second at which the stretches change
    std::array<double, 2> least_{kNone, kNone}; ///< of the stretch before, of this one
};

} // namespace bellhand::practice
