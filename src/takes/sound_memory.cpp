#include "takes/sound_memory.h"

#include <algorithm>
#include <cmath>

namespace bellhand::takes {

SoundStretch::SoundStretch(double rate_hz, double start_s, std::size_t capacity)
    : rate_hz_(rate_hz),
      start_s_(start_s),
      capacity_(std::max(capacity, 2 * kStep)),
      ring_(new std::atomic<float>[capacity_]()) {}

std::uint64_t SoundStretch::sample_at(double time_s) const noexcept {
    return static_cast<std::uint64_t>(std::llround(std::max(0.0, (time_s - start_s_) * rate_hz_)));
}

std::uint64_t SoundStretch::oldest() const noexcept {
    const std::uint64_t claimed = claimed_.load(std::memory_order_acquire);
    return claimed > capacity_ ? claimed - capacity_ : 0;
}

// Each sample is stored with release and loaded with acquire: whoever sees a sample of a step sees that the step was
// claimed before. On the usual processors both are plain moves.
template <typename At>
void SoundStretch::write(std::uint64_t count, const At& at) noexcept {
    std::uint64_t place = heard_.load(std::memory_order_relaxed);
    for (std::uint64_t done = 0; done < count;) {
        const std::uint64_t step = std::min<std::uint64_t>(kStep, count - done);
        claimed_.store(place + step, std::memory_order_relaxed);
        for (std::uint64_t i = 0; i < step; ++i) {
            ring_[(place + i) % capacity_].store(at(done + i), std::memory_order_release);
        }
        place += step;
        done += step;
        heard_.store(place, std::memory_order_release);
    }
}

void SoundStretch::append(std::span<const float> samples) noexcept {
    write(samples.size(),
          [&](std::uint64_t i) { return std::isfinite(samples[i]) ? samples[i] : 0.0F; });
}

void SoundStretch::append_silence(std::uint64_t samples) noexcept {
    if (samples > capacity_) {
        // Nothing older than this silence is left: the rest of it is only counted.
        const std::uint64_t place = heard_.load(std::memory_order_relaxed) + samples - capacity_;
        claimed_.store(place, std::memory_order_release);
        heard_.store(place, std::memory_order_release);
        samples = capacity_;
    }
    write(samples, [](std::uint64_t) { return 0.0F; });
}

bool SoundStretch::copy(std::uint64_t first, std::span<float> out) const noexcept {
    if (first < oldest() || first + out.size() > heard()) {
        return false;
    }
    for (std::size_t i = 0; i < out.size(); ++i) {
        out[i] = ring_[(first + i) % capacity_].load(std::memory_order_acquire);
    }
    return first >= oldest();
}

void SoundMemory::hear(const audio::Block& block, double start_s) {
    if (!(block.sample_rate_hz >= 1.0)) {
        return;
    }
    if (!current_ || current_->rate_hz() != block.sample_rate_hz) {
        current_ = std::make_shared<SoundStretch>(
            block.sample_rate_hz,
            start_s,
            static_cast<std::size_t>(std::ceil(length_s_ * block.sample_rate_hz)));
        const std::scoped_lock lock(mutex_);
        newest_ = current_;
    }
    const std::uint64_t place = current_->sample_at(start_s);
    if (const std::uint64_t heard = current_->heard(); place > heard) {
        current_->append_silence(place - heard);
    }
    current_->append({block.samples.data(), block.count});
}

std::shared_ptr<const SoundStretch> SoundMemory::newest() const {
    const std::scoped_lock lock(mutex_);
    return newest_;
}

} // namespace bellhand::takes
