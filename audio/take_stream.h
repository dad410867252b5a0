#pragma once

#include "audio/peak_limiter.h"
#include "audio/stream_end.h"
#include "core/spsc_ring.h"

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>

namespace bellhand::audio {

inline constexpr std::size_t kTakeBlockSamples = 128;

/// A piece of a take, stretched and at the device's rate.
struct TakeBlock {
    std::uint32_t cut =
        0; ///< grows by one with every jump and change of speed: older ones are thrown away
    std::uint32_t count = 0;
    bool last = false;   ///< the take ends here
    double at_s = 0.0;   ///< in the take, of the first sample
    double step_s = 0.0; ///< of the take, a sample
    std::array<float, kTakeBlockSamples> samples{};
};

/// What the player, the thread that reads the file and the devices' callbacks share.
struct TakeShared {
    SpscRing<TakeBlock> ring{128};
    std::atomic<bool> playing{false};
    std::atomic<bool> ended{false};
    std::atomic<std::uint32_t> cut{0};   ///< that is to be heard now
    std::atomic<double> rate_hz{0.0};    ///< of the device; 0 = none yet
    std::atomic<double> position_s{0.0}; ///< of what the device was given last
};

/// Where a device's callback gets the take from.
class TakeStream final : public StreamEnd {
public:
    explicit TakeStream(std::shared_ptr<TakeShared> shared) : shared_(std::move(shared)) {}
    void prepare(const StreamFormat& format) override;

private:
    void
    run(const float* heard, float* to_play, std::size_t frames, bool trouble) noexcept override;
    void hush(float* to_play, std::size_t frames) noexcept override;
    void fill(std::span<float> out) noexcept;
    [[nodiscard]] const TakeBlock* next_block() noexcept;

    std::shared_ptr<TakeShared> shared_;
    std::size_t channels_ = 2;
    float gain_ = 0.0F;
    float gain_step_ = 0.0F;
    std::size_t used_ = 0; ///< samples of the ring's oldest block
    std::uint32_t heard_cut_ = 0;
    PeakLimiter limiter_;
    std::array<float, kTakeBlockSamples> samples_{};
};

} // namespace bellhand::audio
