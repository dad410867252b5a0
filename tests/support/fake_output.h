#pragma once

#include "audio/output.h"
#include "audio/reference_player.h"

#include <array>
#include <atomic>
#include <chrono>
#include <memory>
#include <mutex>
#include <thread>

namespace bellhand::test {

/// An output without a device: plays at the pace of time into nothing, from a thread of its own. A test can take the
/// device away and give it back.
class FakeOutput final : public audio::Output {
public:
    ~FakeOutput() override { stop(); }

    Result<void> start(audio::PlayedRing* played) override {
        ++starts;
        going_ = true;
        thread_ = std::thread([this, played] { run(played); });
        return {};
    }
    void stop() noexcept override {
        going_ = false;
        if (thread_.joinable()) {
            thread_.join();
        }
    }
    void play(const audio::ReferenceSound& sound) noexcept override {
        const std::scoped_lock lock(mutex_);
        wanted_ = sound;
    }
    bool next_beat(audio::Beat& beat) noexcept override { return player_.beats().try_pop(beat); }
    audio::OutputStatus status() const override {
        audio::OutputStatus status;
        status.name = "test loudspeaker";
        status.state = !going_        ? audio::SourceState::idle
                       : there.load() ? audio::SourceState::running
                                      : audio::SourceState::waiting;
        status.message = going_ && !there ? "'test loudspeaker' has stopped." : "";
        status.sample_rate_hz = 48000.0;
        status.reported_latency_s = 0.02;
        status.played_samples = position_;
        return status;
    }

    std::atomic<bool> there{true}; ///< false: the device is gone
    std::atomic<int> starts{0};

private:
    void run(audio::PlayedRing* played) {
        std::uint32_t stream = 0;
        bool was_there = false;
        auto next = std::chrono::steady_clock::now();
        while (going_) {
            if (!there) {
                was_there = false;
                std::this_thread::sleep_for(std::chrono::milliseconds(1));
                next = std::chrono::steady_clock::now();
                continue;
            }
            if (!was_there) {
                was_there = true;
                player_.prepare(48000.0, ++stream);
                position_ = 0;
            }
            {
                const std::scoped_lock lock(mutex_);
                player_.want(wanted_);
            }
            std::array<float, audio::kBlockSamples> samples{};
            audio::PlayedBlock block;
            player_.fill(samples, &block);
            block.first_sample = position_;
            block.count = audio::kBlockSamples;
            block.sample_rate_hz = 48000.0;
            block.stream = stream;
            block.clock_s = audio::clock_now_s();
            if (played != nullptr) {
                (void)played->try_push(block);
            }
            position_ += audio::kBlockSamples;
            next += std::chrono::nanoseconds(2666667);
            std::this_thread::sleep_until(next);
        }
    }

    std::mutex mutex_;
    audio::ReferenceSound wanted_;
    audio::ReferencePlayer player_;
    std::atomic<std::uint64_t> position_{0};
    std::atomic<bool> going_{false};
    std::thread thread_;
};

} // namespace bellhand::test
