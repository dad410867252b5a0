#include "support/take_sound.h"

#include <array>
#include <cmath>
#include <thread>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::takes;

TEST_SUITE("takes/sound_memory") {
    TEST_CASE("the last two minutes can be had, sample by sample, and nothing older") {
        SoundMemory memory;
        constexpr double kRate_hz = 8000.0;
        constexpr std::uint64_t kAll = 150 * 8000;
        test::hear_counted(memory, 0, kAll, kRate_hz, 3.0);
        const auto stretch = memory.newest();
        REQUIRE(stretch != nullptr);
        CHECK(stretch->heard() == kAll);
        CHECK(stretch->oldest() == kAll - 120 * 8000);
        CHECK(stretch->time_of(kAll) == doctest::Approx(153.0));
        CHECK(stretch->sample_at(153.0) == kAll);
        std::vector<float> all(120 * 8000);
        REQUIRE(stretch->copy(stretch->oldest(), all));
        std::size_t wrong = 0;
        for (std::size_t i = 0; i < all.size(); ++i) {
            wrong += all[i] != test::counted_sample(stretch->oldest() + i) ? 1U : 0U;
        }
        CHECK(wrong == 0);
        std::array<float, 10> some{};
        CHECK_FALSE(stretch->copy(stretch->oldest() - 1, some));
        CHECK_FALSE(stretch->copy(kAll - 9, some));
    }

    TEST_CASE("a hole in the stream becomes silence of the same length, so that times stay true") {
        SoundMemory memory;
        test::hear_counted(memory, 0, 1000);
        test::hear_counted(memory, 1500, 2000);
        const auto stretch = memory.newest();
        CHECK(stretch->heard() == 2000);
        std::array<float, 2000> all{};
        REQUIRE(stretch->copy(0, all));
        CHECK(all[999] == test::counted_sample(999));
        CHECK(all[1000] == 0.0F);
        CHECK(all[1499] == 0.0F);
        CHECK(all[1500] == test::counted_sample(1500));
    }

    TEST_CASE("a hole longer than the memory leaves only silence") {
        SoundMemory memory(1.0);
        test::hear_counted(memory, 0, 1000);
        test::hear_counted(memory, 48000 * 500, 48000 * 500 + 128);
        const auto stretch = memory.newest();
        CHECK(stretch->heard() == 48000 * 500 + 128);
        std::vector<float> all(48000);
        REQUIRE(stretch->copy(stretch->oldest(), all));
        CHECK(all.front() == 0.0F);
        CHECK(all[48000 - 129] == 0.0F);
        CHECK(all.back() == test::counted_sample(48000 * 500 + 127));
    }

    TEST_CASE("another sample rate begins anew, and what is no number is silence") {
        SoundMemory memory;
        test::hear_counted(memory, 0, 5000);
        const auto old = memory.newest();
        audio::Block block;
        block.sample_rate_hz = 44100.0;
        block.count = 2;
        block.samples[0] = std::nanf("");
        block.samples[1] = 0.5F;
        memory.hear(block, 7.0);
        const auto stretch = memory.newest();
        CHECK(stretch != old);
        CHECK(old->heard() == 5000);
        CHECK(stretch->start_s() == 7.0);
        std::array<float, 2> both{};
        REQUIRE(stretch->copy(0, both));
        CHECK(both[0] == 0.0F);
        CHECK(both[1] == 0.5F);
    }

    TEST_CASE("a reader beside the writer never gets a sample that is not the one asked for") {
        SoundMemory memory(0.1);
        test::hear_counted(memory, 0, 128);
        const auto stretch = memory.newest();
        constexpr std::uint64_t kAll = 2'000'000;
        std::thread writer([&] { test::hear_counted(memory, 128, kAll); });
        std::array<float, 700> some{};
        std::size_t wrong = 0;
        std::size_t copied = 0;
        while (stretch->heard() < kAll) {
            const std::uint64_t first = stretch->oldest();
            if (stretch->heard() < first + some.size() || !stretch->copy(first, some)) {
                continue;
            }
            ++copied;
            for (std::size_t i = 0; i < some.size(); ++i) {
                wrong += some[i] != test::counted_sample(first + i) ? 1U : 0U;
            }
        }
        writer.join();
        CHECK(wrong == 0);
        MESSAGE(copied, " copies while writing");
    }
}
