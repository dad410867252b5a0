#pragma once

#include "core/result.h"
#include "core/spsc_ring.h"

#include <array>
#include <chrono>
#include <cstdint>
#include <memory>
#include <string>

namespace bellhand::audio {

inline constexpr std::size_t kBlockSamples = 128;

/// A piece of the chosen channel as it crosses from the sound thread to the analysis thread.
struct Block {
    std::uint64_t first_sample =
        0; ///< index in this stream; a jump means that samples between were lost
    double sample_rate_hz = 0.0;
    double clock_s = 0.0; ///< steady clock when it was handed over; 0 = not at the pace of time
    std::uint32_t stream =
        0; ///< grows by one each time the device is taken again: start a new estimator
    std::uint32_t count = 0; ///< samples used, 1..kBlockSamples
    std::array<float, kBlockSamples> samples{};
};

using BlockRing = SpscRing<Block>;

/// The steady clock in seconds: what ties streams of different devices to each other. Safe on a device's thread.
[[nodiscard]] inline double clock_now_s() noexcept {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

enum class SourceState {
    idle,    ///< not started
    waiting, ///< device lost or not there yet; the source keeps trying
    running,
    ended,  ///< a file or the demo came to its end; everything was delivered
    failed, ///< gave up; `message` says why
};

struct SourceStatus {
    SourceState state = SourceState::idle;
    std::string name;    ///< what is being listened to, for people
    std::string message; ///< one sentence when waiting or failed, or a remark when ended
    double sample_rate_hz = 0.0;
    int channels = 0;                ///< that the device was opened with or the file has
    int channel = 0;                 ///< listened to, from 1; 0 = mix of all
    double reported_latency_s = 0.0; ///< of a device, as its driver says: a hint
    std::uint64_t delivered_samples = 0;
    std::uint64_t dropped_samples = 0; ///< ring full, or reported lost by the device
    std::uint64_t overruns = 0;        ///< times that happened
};

/// Sound in, whatever it comes from: a device, a file, the demo player. `start` begins to fill the ring from a thread
/// of the source's own; nothing else writes to that ring, which must stay until `stop` or the source's end of life.
class Source {
public:
    virtual ~Source() = default;
    [[nodiscard]] virtual Result<void> start(BlockRing& ring) = 0;
    virtual void
    stop() noexcept = 0; ///< idempotent; nothing is written to the ring after it returns
    [[nodiscard]] virtual SourceStatus status() const = 0;
};

} // namespace bellhand::audio
