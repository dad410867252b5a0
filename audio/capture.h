#pragma once

#include "audio/source.h"

#include <atomic>
#include <cstddef>
#include <cstdint>

namespace bellhand::audio {

/// Where a device's callback leaves what it hears: picks or mixes the channel and copies it into the ring.
///
/// `hear` runs on the device's thread and neither allocates, locks, logs, throws nor calls the system. Everything else
/// runs on threads that may wait.
class Capture {
public:
    /// What is to become of the sound; before the device starts.
    void prepare(BlockRing& ring,
                 std::uint32_t stream,
                 double sample_rate_hz,
                 int channels,
                 int channel) noexcept;

    /// Device thread. `interleaved` holds `frames` frames of all channels; null = the device had nothing to give.
    /// `lost_before`: the device says that it lost samples before these, but not how many; one buffer is assumed.
    /// False: this capture was revoked, the device should stop.
    [[nodiscard]] bool
    hear(const float* interleaved, std::size_t frames, bool lost_before) noexcept;

    /// After this returns nothing is written to the ring, whatever the device still does.
    void revoke() noexcept;

    [[nodiscard]] std::uint64_t calls() const noexcept {
        return calls_.load(std::memory_order_relaxed);
    }
    [[nodiscard]] std::uint64_t delivered() const noexcept {
        return delivered_.load(std::memory_order_relaxed);
    }
    [[nodiscard]] std::uint64_t dropped() const noexcept {
        return dropped_.load(std::memory_order_relaxed);
    }
    [[nodiscard]] std::uint64_t overruns() const noexcept {
        return overruns_.load(std::memory_order_relaxed);
    }

private:
    void copy(const float* interleaved, std::size_t frames) noexcept;

    BlockRing* ring_ = nullptr;
    std::uint32_t stream_ = 0;
    double sample_rate_hz_ = 0.0;
    std::size_t channels_ = 1;
    std::size_t channel_ = 1;
    std::uint64_t next_sample_ = 0; // device thread only

    std::atomic<bool> revoked_{false};
    std::atomic<bool> inside_{false};
    std::atomic<std::uint64_t> calls_{0};
    std::atomic<std::uint64_t> delivered_{0};
    std::atomic<std::uint64_t> dropped_{0};
    std::atomic<std::uint64_t> overruns_{0};
};

} // namespace bellhand::audio
