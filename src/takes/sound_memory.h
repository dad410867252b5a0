#pragma once

#include "audio/source.h"

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <span>

namespace bellhand::takes {

/// How far back the memory reaches.
inline constexpr double kRemembered_s = 120.0;

/// Sound at one sample rate without a break: a fixed ring that one thread fills and others copy from, without a lock
/// on either side. A reader finds out afterwards whether the writer has overtaken it, as with a sequence lock.
class SoundStretch {
public:
    /// Allocates. `start_s`: time of the first sample in the session.
    SoundStretch(double rate_hz, double start_s, std::size_t capacity);

    [[nodiscard]] double rate_hz() const noexcept { return rate_hz_; }
    [[nodiscard]] double start_s() const noexcept { return start_s_; }
    [[nodiscard]] double time_of(std::uint64_t sample) const noexcept {
        return start_s_ + static_cast<double>(sample) / rate_hz_;
    }
    /// Nearest sample, not before the first.
    [[nodiscard]] std::uint64_t sample_at(double time_s) const noexcept;

    /// Samples so far. Any thread.
    [[nodiscard]] std::uint64_t heard() const noexcept {
        return heard_.load(std::memory_order_acquire);
    }
    /// The oldest sample that can still be had; it may go at any moment. Any thread.
    [[nodiscard]] std::uint64_t oldest() const noexcept;
    /// Copies samples from `first` on. False: some are not there yet, or no longer; `out` then means nothing.
    [[nodiscard]] bool copy(std::uint64_t first, std::span<float> out) const noexcept;

    /// The writing thread. What is no number becomes silence.
    void append(std::span<const float> samples) noexcept;
    void append_silence(std::uint64_t samples) noexcept;

private:
    static constexpr std::size_t kStep = audio::kBlockSamples;
    template <typename At>
    void write(std::uint64_t count, const At& at) noexcept;

    const double rate_hz_;
    const double start_s_;
    const std::size_t capacity_;
    const std::unique_ptr<std::atomic<float>[]> ring_;
    std::atomic<std::uint64_t> claimed_{0}; ///< being overwritten up to here, less the capacity
    std::atomic<std::uint64_t> heard_{0};
};

/// The last two minutes of sound, always on, so that what was just played can still be kept.
class SoundMemory {
public:
    explicit SoundMemory(double length_s = kRemembered_s) : length_s_(length_s) {}

    /// The analysis thread. `start_s`: time of the block in the session; holes become silence, so that times stay true.
    /// Allocates and locks only when a stream of another sample rate begins.
    void hear(const audio::Block& block, double start_s);

    /// The stretch that is being filled; null before the first block. What was heard at another sample rate before it
    /// is forgotten, unless somebody holds it. Any thread.
    [[nodiscard]] std::shared_ptr<const SoundStretch> newest() const;

private:
    const double length_s_;
    std::shared_ptr<SoundStretch> current_; // analysis thread
    mutable std::mutex mutex_;
    std::shared_ptr<const SoundStretch> newest_;
};

} // namespace bellhand::takes
