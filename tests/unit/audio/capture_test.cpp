#include "audio/capture.h"

#include <atomic>
#include <memory>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::audio;

TEST_SUITE("audio/capture") {
    TEST_CASE("the chosen channel, or the mean of all, is copied in blocks of at most their size") {
        std::vector<float> frames;
        for (int i = 0; i < 300; ++i) {
            frames.push_back(static_cast<float>(i));
            frames.push_back(static_cast<float>(-3 * i));
        }
        for (const int channel : {0, 1, 2}) {
            BlockRing ring(8);
            const auto counts = std::make_shared<CaptureCounts>();
            Capture capture(ring, counts, channel, 7);
            capture.prepare({44100.0, 2});
            CHECK(capture.exchange(frames.data(), nullptr, 300, false));
            Block block;
            std::uint64_t expected = 0;
            while (ring.try_pop(block)) {
                CHECK(block.stream == 7);
                CHECK(block.sample_rate_hz == 44100.0);
                CHECK(block.first_sample == expected);
                for (std::uint32_t i = 0; i < block.count; ++i) {
                    const auto at = static_cast<float>(expected + i);
                    const float wanted = channel == 0 ? -at : (channel == 1 ? at : -3.0F * at);
                    CHECK(static_cast<double>(block.samples[i]) ==
                          doctest::Approx(static_cast<double>(wanted)));
                }
                expected += block.count;
            }
            CHECK(expected == 300);
            CHECK(counts->delivered == 300);
        }
    }

    TEST_CASE(
        "nothing reaches the ring once the capture is revoked, even from a device that goes on") {
        for (int round = 0; round < 50; ++round) {
            auto ring = std::make_unique<BlockRing>(4096);
            const auto counts = std::make_shared<CaptureCounts>();
            Capture capture(*ring, counts, 1, 0);
            capture.prepare({48000.0, 1});
            std::atomic<bool> refused{false};
            std::thread device([&] {
                const std::vector<float> silence(kBlockSamples);
                while (capture.exchange(silence.data(), nullptr, silence.size(), false)) {
                }
                refused = true;
                CHECK_FALSE(capture.exchange(silence.data(), nullptr, silence.size(), false));
            });
            while (capture.calls() == 0) {
                std::this_thread::yield();
            }
            capture.revoke();
            const std::uint64_t delivered = counts->delivered;
            ring.reset(); // a write after this would be seen by the sanitizers
            device.join();
            CHECK(refused);
            CHECK(counts->delivered == delivered);
        }
    }
}
