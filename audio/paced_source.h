#pragma once

#include "audio/file.h"
#include "audio/source.h"

#include <atomic>
#include <cstdint>
#include <memory>
#include <mutex>
#include <span>
#include <thread>

namespace bellhand::audio {

/// Samples that can be had whenever they are asked for.
class SampleFeed {
public:
    virtual ~SampleFeed() = default;
    /// Fills up to `out.size()` samples and returns how many; 0 = the end. Errors: what could not be read, and where.
    [[nodiscard]] virtual Result<std::size_t> read(std::span<float> out) = 0;
    /// A remark for the status when all went well in the end; empty = none.
    [[nodiscard]] virtual std::string remark() const { return {}; }
};

/// Moves a feed into the ring from a thread of its own, at one of two paces. Can be started once.
///
/// As fast as possible: waits for the reader, drops nothing. Real time: each block comes when a microphone would have
/// heard it, and is dropped and counted when the ring is full. `ended` is set when the reader has taken the last block.
class PacedSource final : public Source {
public:
    /// `about` gives name, sample rate, channels and channel. An error in place of the feed is told by `start`.
    PacedSource(Result<std::unique_ptr<SampleFeed>> feed, Pace pace, SourceStatus about);
    ~PacedSource() override;
    PacedSource(const PacedSource&) = delete;
    PacedSource& operator=(const PacedSource&) = delete;

    [[nodiscard]] Result<void> start(BlockRing& ring) override;
    void stop() noexcept override;
    [[nodiscard]] SourceStatus status() const override;

private:
    void run(BlockRing& ring);
    [[nodiscard]] bool hand_over(BlockRing& ring, const Block& block);
    [[nodiscard]] bool stopping() const noexcept { return stop_.load(std::memory_order_relaxed); }
    void set_state(SourceState state, std::string message);

    Result<std::unique_ptr<SampleFeed>> feed_;
    Pace pace_;
    std::thread thread_;
    std::atomic<bool> stop_{false};
    std::atomic<std::uint64_t> delivered_{0};
    std::atomic<std::uint64_t> dropped_{0};
    std::atomic<std::uint64_t> overruns_{0};
    mutable std::mutex mutex_; // guards status_, which changes only with the state
    SourceStatus status_;
    bool started_ = false; // caller's thread only
};

} // namespace bellhand::audio
