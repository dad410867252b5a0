#pragma once

#include "audio/output.h"
#include "audio/source.h"
#include "practice/heard_beat.h"
#include "practice/stream_clock.h"

#include <array>
#include <cstddef>
#include <cstdint>

namespace bellhand::practice {

/// What the program itself sounds in a session, followed on the analysis thread: where each beat lies in the captured
/// sound. Nothing here allocates or waits after construction.
class OwnSound {
public:
    OwnSound();

    /// Where the output writes what it plays.
    [[nodiscard]] audio::PlayedRing& played() noexcept { return played_; }

    /// What the drivers of output and microphone report between air and program; used until the way is measured.
    void set_reported_latency(double round_trip_s) noexcept { reported_s_ = round_trip_s; }

    /// Takes what was played since the last call.
    void follow() noexcept;
    /// A beat that was written to the output.
    void add_beat(const audio::Beat& beat) noexcept;
    /// A block of the microphone that begins at `start_s` of the session.
    void hear(const audio::Block& block, double start_s) noexcept;
    /// Takes the oldest beat whose place is known and not yet taken.
    [[nodiscard]] bool next_beat(HeardBeat& beat) noexcept;

private:
    static constexpr std::size_t kWaiting = 32;

    audio::PlayedRing played_;
    StreamClock output_clock_;
    StreamClock session_clock_;
    std::uint32_t output_stream_ = 0;
    std::uint32_t heard_stream_ = 0;
    double output_rate_hz_ = 0.0;
    double reported_s_ = 0.0;

    std::array<audio::Beat, kWaiting>
        waiting_{}; ///< a ring; the oldest is forgotten when it is full
    std::size_t first_waiting_ = 0;
    std::size_t waiting_count_ = 0;
};

} // namespace bellhand::practice
