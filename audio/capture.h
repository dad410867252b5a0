#pragma once

#include "audio/source.h"
#include "audio/stream_end.h"

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>

namespace bellhand::audio {

/// What has become of the sound of one device, over all the times it was opened.
struct CaptureCounts {
    std::atomic<std::uint64_t> delivered{0};
    std::atomic<std::uint64_t> dropped{0}; ///< ring full, or lost by the device
    std::atomic<std::uint64_t> overruns{0};
};

/// Where a device's callback leaves what it hears: picks or mixes the channel and copies it into the ring.
class Capture final : public StreamEnd {
public:
    /// `channel` from 1, 0 = the mean of all; `stream` marks the blocks.
    Capture(BlockRing& ring,
            std::shared_ptr<CaptureCounts> counts,
            int channel,
            std::uint32_t stream);

    void prepare(const StreamFormat& format) override;

private:
    void
    run(const float* heard, float* to_play, std::size_t frames, bool trouble) noexcept override;
    void hush(float* /*to_play*/, std::size_t /*frames*/) noexcept override {} // plays nothing
    void copy(const float* interleaved, std::size_t frames) noexcept;

    BlockRing* ring_;
    std::shared_ptr<CaptureCounts> counts_;
    std::size_t channel_;
    std::uint32_t stream_;
    double sample_rate_hz_ = 0.0;
    std::size_t channels_ = 1;
    std::uint64_t next_sample_ = 0; // device thread only
};

} // namespace bellhand::audio
