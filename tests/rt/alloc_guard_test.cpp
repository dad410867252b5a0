#include "support/alloc_guard.h"

#include <cstdio>
#include <memory>
#include <mutex>
#include <stdexcept>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

using bellhand::test::ForbiddenCalls;
using bellhand::test::RealTimeScope;

// The guard itself: a guard that sees nothing would let every other test here pass.
TEST_SUITE("support/alloc_guard") {
    TEST_CASE("allocations, frees, locks, exceptions and file calls are each seen") {
        if (!RealTimeScope::available()) {
            MESSAGE("skipped: a sanitizer owns the allocator");
            return;
        }
        {
            const RealTimeScope scope;
            auto block = std::make_unique<std::vector<int>>(100U);
            block->resize(1000);
            block.reset();
            CHECK(scope.calls().allocations >= 3);
            CHECK(scope.calls().frees >= 3);
            CHECK(scope.calls().locks == 0);
        }
        {
            std::mutex mutex;
            const RealTimeScope scope;
            for (int i = 0; i < 5; ++i) {
                const std::lock_guard held(mutex);
            }
            CHECK(scope.calls().locks == 5);
            CHECK(scope.calls().allocations == 0);
        }
        {
            const RealTimeScope scope;
            try {
                throw std::runtime_error("seen");
            } catch (const std::runtime_error&) {
                CHECK(scope.calls().allocations >= 1);
            }
        }
        {
            const RealTimeScope scope;
            std::FILE* file = std::fopen("/dev/null", "w");
            REQUIRE(file != nullptr);
            std::fwrite("x", 1, 1, file);
            std::fclose(file);
            CHECK(scope.calls().file_calls >= 2);
        }
    }

    TEST_CASE("plain arithmetic counts nothing, and other threads do not count") {
        const RealTimeScope scope;
        volatile double sum = 0.0;
        for (int i = 0; i < 1000; ++i) {
            sum = sum + 0.5 * i;
        }
        const ForbiddenCalls before = scope.calls();
        CHECK(before.total() == 0);
        std::uint64_t here = 0;
        {
            std::thread other([] {
                auto block = std::make_unique<int[]>(10000);
                block[0] = 1;
            });
            here = scope.calls().allocations;
            other.join();
        }
        CHECK(scope.calls().allocations == here); // what starting a thread costs, not what it does
    }
}
