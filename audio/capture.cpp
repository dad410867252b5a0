#include "audio/capture.h"

#include <algorithm>
#include <chrono>
#include <thread>

namespace bellhand::audio {

void Capture::prepare(BlockRing& ring,
                      std::uint32_t stream,
                      double sample_rate_hz,
                      int channels,
                      int channel) noexcept {
    ring_ = &ring;
    stream_ = stream;
    sample_rate_hz_ = sample_rate_hz;
    channels_ = static_cast<std::size_t>(channels);
    channel_ = static_cast<std::size_t>(channel);
}

bool Capture::hear(const float* interleaved, std::size_t frames, bool lost_before) noexcept {
    // Either this thread sees `revoked_`, or `revoke` sees `inside_` and waits: both sides write, then read the other's
    // flag, in one total order.
    inside_.store(true, std::memory_order_seq_cst);
    if (revoked_.load(std::memory_order_seq_cst)) {
        inside_.store(false, std::memory_order_release);
        return false;
    }
    calls_.fetch_add(1, std::memory_order_relaxed);
    if (lost_before || interleaved == nullptr) {
        overruns_.fetch_add(1, std::memory_order_relaxed);
        dropped_.fetch_add(frames, std::memory_order_relaxed);
        next_sample_ += frames;
    }
    if (interleaved != nullptr) {
        copy(interleaved, frames);
    }
    inside_.store(false, std::memory_order_release);
    return true;
}

void Capture::copy(const float* interleaved, std::size_t frames) noexcept {
    const float mix_share = 1.0F / static_cast<float>(channels_);
    std::size_t done = 0;
    while (done < frames) {
        const std::size_t count = std::min(frames - done, kBlockSamples);
        Block* block = ring_->claim();
        if (block == nullptr) {
            dropped_.fetch_add(frames - done, std::memory_order_relaxed);
            overruns_.fetch_add(1, std::memory_order_relaxed);
            next_sample_ += frames - done;
            return;
        }
        block->first_sample = next_sample_;
        block->sample_rate_hz = sample_rate_hz_;
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
        delivered_.fetch_add(count, std::memory_order_relaxed);
        next_sample_ += count;
        done += count;
    }
}

void Capture::revoke() noexcept {
    revoked_.store(true, std::memory_order_seq_cst);
    while (inside_.load(std::memory_order_seq_cst)) { // as long as it takes to copy one buffer
        std::this_thread::sleep_for(std::chrono::microseconds(50));
    }
}

} // namespace bellhand::audio
