#include "audio/capture.h"

#include <algorithm>
#include <utility>

namespace bellhand::audio {

Capture::Capture(BlockRing& ring,
                 std::shared_ptr<CaptureCounts> counts,
                 int channel,
                 std::uint32_t stream)
    : ring_(&ring),
      counts_(std::move(counts)),
      channel_(static_cast<std::size_t>(channel)),
      stream_(stream) {}

void Capture::prepare(const StreamFormat& format) {
    sample_rate_hz_ = format.sample_rate_hz;
    channels_ = static_cast<std::size_t>(format.channels);
}

void Capture::run(const float* heard,
                  float* /*to_play*/,
                  std::size_t frames,
                  bool trouble) noexcept {
    if (trouble || heard == nullptr) {
        // The device does not say how many were lost; one buffer is assumed.
        counts_->overruns.fetch_add(1, std::memory_order_relaxed);
        counts_->dropped.fetch_add(frames, std::memory_order_relaxed);
        next_sample_ += frames;
    }
    if (heard != nullptr) {
        copy(heard, frames);
    }
}

void Capture::copy(const float* interleaved, std::size_t frames) noexcept {
    const float mix_share = 1.0F / static_cast<float>(channels_);
    const double now_s = clock_now_s();
    std::size_t done = 0;
    while (done < frames) {
        const std::size_t count = std::min(frames - done, kBlockSamples);
        Block* block = ring_->claim();
        if (block == nullptr) {
            counts_->dropped.fetch_add(frames - done, std::memory_order_relaxed);
            counts_->overruns.fetch_add(1, std::memory_order_relaxed);
            next_sample_ += frames - done;
            return;
        }
        block->first_sample = next_sample_;
        block->sample_rate_hz = sample_rate_hz_;
        block->clock_s = now_s;
        block->stream = stream_;
        block->count = static_cast<std::uint32_t>(count);
        const float* frame = interleaved + done * channels_;
        for (std::size_t i = 0; i < count; ++i, frame += channels_) {
            if (channel_ > 0) {
                block->samples[i] = frame[channel_ - 1];
            } else {
                float sum = 0.0F;
                for (std::size_t c = 0; c < channels_; ++c) {
                    sum += frame[c];
                }
                block->samples[i] = sum * mix_share;
            }
        }
        ring_->publish();
        counts_->delivered.fetch_add(count, std::memory_order_relaxed);
        next_sample_ += count;
        done += count;
    }
}

} // namespace bellhand::audio
