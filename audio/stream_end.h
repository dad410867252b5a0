#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>

namespace bellhand::audio {

/// What a device was opened with.
struct StreamFormat {
    double sample_rate_hz = 0.0;
    int channels = 0;
};

/// The program's end of a device's stream: what its callback calls.
///
/// `exchange` runs on the device's thread and neither allocates, locks, logs, throws nor calls the system. Everything
/// else runs on threads that may wait.
class StreamEnd {
public:
    StreamEnd() = default;
    virtual ~StreamEnd() = default;
    StreamEnd(const StreamEnd&) = delete;
    StreamEnd& operator=(const StreamEnd&) = delete;

    /// What is coming; once, before the device starts.
    virtual void prepare(const StreamFormat& format) = 0;

    /// Device thread. `heard` holds `frames` interleaved frames of all channels (null: the device had nothing to give,
    /// or has no inputs), `to_play` has room for as many (null: no outputs). `trouble`: the device says that samples
    /// were lost just before. False: this end was revoked, the device should stop.
    [[nodiscard]] bool
    exchange(const float* heard, float* to_play, std::size_t frames, bool trouble) noexcept;

    /// After this returns the device touches nothing of ours any more, whatever it still does.
    void revoke() noexcept;

    [[nodiscard]] std::uint64_t calls() const noexcept {
        return calls_.load(std::memory_order_relaxed);
    }

private:
    virtual void
    run(const float* heard, float* to_play, std::size_t frames, bool trouble) noexcept = 0;
    /// Instead of `run` once revoked: nothing may be touched but the device's own buffer.
    virtual void hush(float* to_play, std::size_t frames) noexcept = 0;

    std::atomic<bool> revoked_{false};
    std::atomic<bool> inside_{false};
    std::atomic<std::uint64_t> calls_{0};
};

} // namespace bellhand::audio
