#include "audio/playback.h"

#include <algorithm>
#include <utility>

namespace bellhand::audio {

Playback::Playback(std::shared_ptr<PlaybackShared> shared, PlayedRing* played, std::uint32_t stream)
    : shared_(std::move(shared)), ring_(played) {
    block_.stream = stream;
}

void Playback::prepare(const StreamFormat& format) {
    channels_ = static_cast<std::size_t>(format.channels);
    block_.sample_rate_hz = format.sample_rate_hz;
    shared_->player.prepare(format.sample_rate_hz, block_.stream);
}

void Playback::run(const float* /*heard*/,
                   float* to_play,
                   std::size_t frames,
                   bool trouble) noexcept {
    if (trouble) {
        shared_->underruns.fetch_add(1, std::memory_order_relaxed);
        ++block_.underruns;
    }
    if (to_play == nullptr) {
        return;
    }
    if (shared_->wanted.read(shared_->sounding)) {
        shared_->player.want(shared_->sounding);
    }
    block_.clock_s = clock_now_s();
    for (std::size_t done = 0; done < frames;) {
        const std::size_t count = std::min(frames - done, kBlockSamples);
        shared_->player.fill({samples_.data(), count}, &block_);
        block_.count = static_cast<std::uint32_t>(count);
        float* frame = to_play + done * channels_;
        for (std::size_t i = 0; i < count; ++i) {
            frame = std::fill_n(frame, channels_, samples_[i]);
        }
        if (ring_ != nullptr) {
            (void)ring_->try_push(block_); // left out when nobody reads
        }
        block_.first_sample += count;
        done += count;
    }
    shared_->played.fetch_add(frames, std::memory_order_relaxed);
}

void Playback::hush(float* to_play, std::size_t frames) noexcept {
    std::fill_n(to_play, frames * channels_, 0.0F);
}

} // namespace bellhand::audio
