#pragma once

#include "audio/source.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdint>
#include <mutex>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace bellhand::test {

/// A source that a test conducts: delivers samples as fast as the ring takes them (or `blocks_per_ms` at most), and
/// can drop blocks or pretend to be taken again at another rate.
class PlayedSource final : public audio::Source {
public:
    struct Piece {
        std::vector<float> samples;
        double sample_rate_hz = 48000.0;
        std::uint32_t stream = 0;
        std::uint64_t lost_before = 0; ///< samples dropped before this piece
    };

    explicit PlayedSource(std::vector<Piece> pieces, bool stays_open = false)
        : pieces_(std::move(pieces)), stays_open_(stays_open) {}
    ~PlayedSource() override { halt(); }
    PlayedSource(const PlayedSource&) = delete;
    PlayedSource& operator=(const PlayedSource&) = delete;

    Result<void> start(audio::BlockRing& ring) override {
        thread_ = std::thread([this, &ring] { deliver(ring); });
        return {};
    }
    void stop() noexcept override { halt(); }
    audio::SourceStatus status() const override {
        audio::SourceStatus status;
        status.name = "test player";
        status.state = ended_.load() ? audio::SourceState::ended : audio::SourceState::running;
        return status;
    }
    /// Everything was handed over.
    [[nodiscard]] bool delivered() const { return delivered_.load(); }

private:
    void halt() noexcept {
        stopping_.store(true);
        if (thread_.joinable()) {
            thread_.join();
        }
    }

    void deliver(audio::BlockRing& ring) {
        std::uint64_t next = 0;
        std::uint32_t stream = 0;
        for (const Piece& piece : pieces_) {
            next = piece.stream == stream ? next + piece.lost_before : 0;
            stream = piece.stream;
            for (std::size_t at = 0; at < piece.samples.size() && !stopping_.load();
                 at += audio::kBlockSamples) {
                audio::Block block;
                block.first_sample = next;
                block.sample_rate_hz = piece.sample_rate_hz;
                block.stream = stream;
                block.count = static_cast<std::uint32_t>(
                    std::min(audio::kBlockSamples, piece.samples.size() - at));
                std::copy_n(piece.samples.begin() + static_cast<std::ptrdiff_t>(at),
                            block.count,
                            block.samples.begin());
                while (!ring.try_push(block) && !stopping_.load()) {
                    std::this_thread::sleep_for(std::chrono::milliseconds(1));
                }
                next += block.count;
            }
        }
        delivered_.store(true);
        if (!stays_open_) {
            ended_.store(true);
        }
    }

    std::vector<Piece> pieces_;
    bool stays_open_;
    std::atomic<bool> stopping_{false};
    std::atomic<bool> ended_{false};
    std::atomic<bool> delivered_{false};
    std::thread thread_;
};

} // namespace bellhand::test
