#include "core/spsc_ring.h"

#include <cstdint>
#include <thread>

#include <doctest/doctest.h>

using bellhand::SpscRing;

TEST_SUITE("core/spsc_ring") {
    TEST_CASE("capacity is rounded up to a power of two") {
        CHECK(SpscRing<int>(5).capacity() == 8);
        CHECK(SpscRing<int>(8).capacity() == 8);
    }

    TEST_CASE("a full ring refuses and keeps what it has, in order") {
        SpscRing<int> ring(4);
        for (int i = 0; i < 4; ++i) {
            CHECK(ring.try_push(i));
        }
        CHECK_FALSE(ring.try_push(99));
        CHECK(ring.claim() == nullptr);
        int item = -1;
        for (int i = 0; i < 4; ++i) {
            REQUIRE(ring.try_pop(item));
            CHECK(item == i);
        }
        CHECK_FALSE(ring.try_pop(item));
        CHECK(ring.front() == nullptr);
    }

    TEST_CASE("two threads: nothing is lost, doubled or reordered") {
        constexpr std::uint64_t kItems = 200000;
        SpscRing<std::uint64_t> ring(64);
        std::thread writer([&ring] {
            for (std::uint64_t i = 0; i < kItems;) {
                if (ring.try_push(i)) {
                    ++i;
                } else {
                    std::this_thread::yield();
                }
            }
        });
        std::uint64_t expected = 0;
        bool in_order = true;
        while (expected < kItems) {
            std::uint64_t item = 0;
            if (ring.try_pop(item)) {
                in_order = in_order && item == expected;
                ++expected;
            } else {
                std::this_thread::yield();
            }
        }
        writer.join();
        CHECK(in_order);
        CHECK(ring.size() == 0);
    }
}
