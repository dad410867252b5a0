#include "audio/capture.h"
#include "audio/playback.h"
#include "audio/portaudio_callback.h"
#include "audio/take_stream.h"
#include "support/alloc_guard.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include <doctest/doctest.h>
#include <portaudio.h>

using namespace bellhand;
using namespace bellhand::audio;

namespace {

int call(StreamEnd& end,
         const float* frames,
         unsigned long count,
         PaStreamCallbackFlags flags = 0) {
    const PaStreamCallbackTimeInfo time{};
    return portaudio_callback(frames, nullptr, count, &time, flags, &end);
}

} // namespace

static_assert(noexcept(portaudio_callback(nullptr, nullptr, 0, nullptr, 0, nullptr)),
              "nothing is thrown at a C library");

TEST_SUITE("rt/audio_callback") {
    TEST_CASE("the callback neither allocates, locks nor touches a file, whatever happens") {
        BlockRing ring(64);
        const auto counts = std::make_shared<CaptureCounts>();
        Capture capture(ring, counts, 0, 0);
        capture.prepare({48000.0, 8});
        const std::vector<float> frames(8 * 1024, 0.25F);
        Block block;

        const test::RealTimeScope scope;
        int wanted = 0;
        for (int i = 0; i < 100; ++i) {
            wanted += call(capture, frames.data(), 1024) == paContinue
                          ? 1
                          : 0; // fills the ring: 8 blocks a call
            wanted += call(capture, frames.data(), 37) == paContinue ? 1 : 0;
            wanted += call(capture, frames.data(), 128, paInputOverflow) == paContinue ? 1 : 0;
            wanted += call(capture, nullptr, 128) == paContinue ? 1 : 0;
            if (i > 50) {
                while (ring.try_pop(block)) {
                }
            }
        }
        const test::ForbiddenCalls calls = scope.calls();
        capture.revoke();
        const test::RealTimeScope after;
        const bool revoked = call(capture, frames.data(), 128) == paAbort;
        const std::uint64_t after_revoking = after.calls().total();

        CHECK(wanted == 400);
        CHECK(revoked);
        CHECK(counts->dropped > 0);
        if (!test::RealTimeScope::available()) {
            MESSAGE("a sanitizer replaces the C library's functions: calls were not counted");
            return;
        }
        CHECK(calls.allocations == 0);
        CHECK(calls.frees == 0);
        CHECK(calls.locks == 0);
        CHECK(calls.file_calls == 0);
        CHECK(after_revoking == 0);
    }

    TEST_CASE("what does not fit into the ring is counted, and the sample numbers jump over it") {
        BlockRing ring(2);
        const auto counts = std::make_shared<CaptureCounts>();
        Capture capture(ring, counts, 1, 3);
        capture.prepare({48000.0, 1});
        const std::vector<float> frames(128, 0.5F);
        for (int i = 0; i < 5; ++i) {
            CHECK(call(capture, frames.data(), 128) == paContinue);
        }
        CHECK(capture.calls() == 5);
        CHECK(counts->delivered == 256);
        CHECK(counts->dropped == 3 * 128);
        CHECK(counts->overruns == 3);
        Block block;
        REQUIRE(ring.try_pop(block));
        CHECK(block.first_sample == 0);
        REQUIRE(ring.try_pop(block));
        CHECK(block.first_sample == 128);
        CHECK(call(capture, frames.data(), 128) == paContinue);
        REQUIRE(ring.try_pop(block));
        CHECK(block.first_sample == 640);
        CHECK(block.stream == 3);
    }

    TEST_CASE("a buffer that fits in part loses only the rest") {
        BlockRing ring(2);
        const auto counts = std::make_shared<CaptureCounts>();
        Capture capture(ring, counts, 1, 0);
        capture.prepare({48000.0, 1});
        const std::vector<float> frames(1000, 0.5F);
        CHECK(call(capture, frames.data(), 1000) == paContinue);
        CHECK(counts->delivered == 256);
        CHECK(counts->dropped == 744);
        CHECK(counts->overruns == 1);
    }

    TEST_CASE(
        "an overflow told by the device, or a missing buffer, is a counted gap of one buffer") {
        BlockRing ring(8);
        const auto counts = std::make_shared<CaptureCounts>();
        Capture capture(ring, counts, 1, 0);
        capture.prepare({48000.0, 1});
        const std::vector<float> frames(100, 0.5F);
        CHECK(call(capture, frames.data(), 100) == paContinue);
        CHECK(call(capture, frames.data(), 100, paInputOverflow) == paContinue);
        CHECK(call(capture, nullptr, 100) == paContinue);
        CHECK(call(capture, frames.data(), 100) == paContinue);
        CHECK(counts->overruns == 2);
        CHECK(counts->dropped == 200);
        std::vector<std::uint64_t> firsts;
        Block block;
        while (ring.try_pop(block)) {
            firsts.push_back(block.first_sample);
        }
        CHECK(firsts == std::vector<std::uint64_t>{0, 200, 400});
    }

    TEST_CASE("the callback of an output neither allocates, locks nor touches a file, while "
              "everything changes") {
        const auto shared = std::make_shared<PlaybackShared>();
        PlayedRing played(16);
        Playback playback(shared, &played, 0);
        playback.prepare({48000.0, 2});
        std::vector<float> frames(2 * 1024);
        const PaStreamCallbackTimeInfo time{};
        ReferenceSound sound;

        const test::RealTimeScope scope;
        int wanted = 0;
        for (int i = 0; i < 200; ++i) {
            sound.drone_hz = {100.0 + i, 200.0, i % 3 == 0 ? 300.0 : 0.0, 0.0};
            sound.colour = i % 2 == 0 ? ReferenceColour::horn : ReferenceColour::soft_sawtooth;
            sound.beats_per_minute = 200.0;
            sound.note_hz = 440.0;
            sound.note_request += i % 10 == 0 ? 1U : 0U;
            shared->wanted.write(sound);
            const PaStreamCallbackFlags flags = i % 7 == 0 ? paOutputUnderflow : 0;
            wanted += portaudio_callback(nullptr, frames.data(), 1024, &time, flags, &playback) ==
                              paContinue
                          ? 1
                          : 0;
        }
        const std::uint64_t calls = scope.calls().total();
        CHECK(wanted == 200);
        CHECK(shared->underruns == 29);
        CHECK(shared->played == 200 * 1024);
        CHECK(*std::max_element(frames.begin(), frames.end()) > 0.0F);
        if (test::RealTimeScope::available()) {
            CHECK(calls == 0);
        }
        playback.revoke();
        CHECK(portaudio_callback(nullptr, frames.data(), 1024, &time, 0, &playback) == paAbort);
        CHECK(*std::max_element(frames.begin(), frames.end()) ==
              0.0F); // what is thrown away is silence
    }

    TEST_CASE("the callback that plays a take neither allocates, locks nor touches a file") {
        const auto shared = std::make_shared<TakeShared>();
        TakeStream stream(shared);
        stream.prepare({48000.0, 2});
        std::vector<float> frames(2 * 512);
        const PaStreamCallbackTimeInfo time{};
        TakeBlock block;
        block.count = kTakeBlockSamples;
        block.samples.fill(0.1F);
        std::uint64_t calls = 0;
        float most = 0.0F;
        for (int i = 0; i < 200; ++i) {
            block.cut = static_cast<std::uint32_t>(i / 20);
            block.last = i == 150;
            while (shared->ring.try_push(block)) {
            }
            shared->playing.store(i % 11 != 0); // paused and jumped about
            shared->cut.store(static_cast<std::uint32_t>(i / 20));
            const test::RealTimeScope scope;
            (void)portaudio_callback(nullptr, frames.data(), 512, &time, 0, &stream);
            calls += scope.calls().total();
            most = std::max(most, *std::max_element(frames.begin(), frames.end()));
        }
        CHECK(most > 0.05F);
        if (test::RealTimeScope::available()) {
            CHECK(calls == 0);
        }
    }
}
