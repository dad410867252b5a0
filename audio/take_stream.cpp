#include "audio/take_stream.h"

#include <algorithm>

namespace bellhand::audio {

namespace {

constexpr double kFadeS = 0.008;

}

void TakeStream::prepare(const StreamFormat& format) {
    channels_ = static_cast<std::size_t>(format.channels);
    gain_step_ = static_cast<float>(1.0 / (kFadeS * format.sample_rate_hz));
    limiter_.prepare(format.sample_rate_hz);
    shared_->rate_hz.store(format.sample_rate_hz);
}

/// The block to play from, or null when there is none yet. Blocks from before a jump are thrown away.
const TakeBlock* TakeStream::next_block() noexcept {
    const std::uint32_t cut = shared_->cut.load(std::memory_order_acquire);
    if (cut != heard_cut_) {
        heard_cut_ = cut;
        gain_ = 0.0F; // a jump begins with a fade
        used_ = 0;
    }
    for (;;) {
        const TakeBlock* block = shared_->ring.front();
        if (block == nullptr || (block->cut == cut && used_ < block->count)) {
            return block;
        }
        if (block->cut == cut && block->last) {
            shared_->ended.store(true);
            shared_->playing.store(false);
        }
        shared_->ring.release();
        used_ = 0;
    }
}

void TakeStream::fill(std::span<float> out) noexcept {
    const float goal = shared_->playing.load(std::memory_order_relaxed) ? 1.0F : 0.0F;
    std::fill(out.begin(), out.end(), 0.0F);
    if (goal == 0.0F && gain_ == 0.0F) {
        (void)next_block(); // makes room after a jump
        return;
    }
    for (float& sample : out) {
        const TakeBlock* block = next_block();
        if (block == nullptr) {
            gain_ = 0.0F; // what comes next fades in
            return;
        }
        gain_ =
            goal > gain_ ? std::min(goal, gain_ + gain_step_) : std::max(goal, gain_ - gain_step_);
        sample = gain_ * block->samples[used_];
        shared_->position_s.store(block->at_s + block->step_s * static_cast<double>(used_),
                                  std::memory_order_relaxed);
        ++used_;
        if (goal == 0.0F && gain_ == 0.0F) {
            return;
        }
    }
    (void)next_block(); // so that the end is seen at once
}

void TakeStream::run(const float* /*heard*/,
                     float* to_play,
                     std::size_t frames,
                     bool /*trouble*/) noexcept {
    if (to_play == nullptr) {
        return;
    }
    for (std::size_t done = 0; done < frames;) {
        const std::size_t count = std::min(frames - done, kTakeBlockSamples);
        fill({samples_.data(), count});
        limiter_.limit({samples_.data(), count});
        float* frame = to_play + done * channels_;
        for (std::size_t i = 0; i < count; ++i) {
            frame = std::fill_n(frame, channels_, samples_[i]);
        }
        done += count;
    }
}

void TakeStream::hush(float* to_play, std::size_t frames) noexcept {
    std::fill_n(to_play, frames * channels_, 0.0F);
}

} // namespace bellhand::audio
