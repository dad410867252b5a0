#pragma once

#include <cstdint>

namespace bellhand::test {

/// What one thread did that a real-time thread must not do.
struct ForbiddenCalls {
    std::uint64_t allocations =
        0; ///< malloc, calloc, realloc, aligned_alloc ...; `new` and `throw` end there too
    std::uint64_t frees = 0; ///< free of something that is not null
    std::uint64_t locks =
        0; ///< pthread mutexes, read-write locks, waits on conditions and semaphores
    std::uint64_t file_calls = 0; ///< open, read, write, fopen, fwrite

    [[nodiscard]] std::uint64_t total() const noexcept {
        return allocations + frees + locks + file_calls;
    }
};

/// Counts the forbidden calls of the calling thread from construction on; other threads do not matter.
///
/// The C library's functions are replaced in the test program and pass every call on (malloc through glibc's
/// `__libc_` names, the rest through the next definition), so that nothing but the count changes. Under a sanitizer,
/// which replaces the same functions, nothing is counted: `available()` is false and a test says so.
class RealTimeScope {
public:
    RealTimeScope() noexcept;
    ~RealTimeScope();
    RealTimeScope(const RealTimeScope&) = delete;
    RealTimeScope& operator=(const RealTimeScope&) = delete;

    /// Since construction.
    [[nodiscard]] ForbiddenCalls calls() const noexcept;

    [[nodiscard]] static bool available() noexcept;

private:
    ForbiddenCalls before_;
};

} // namespace bellhand::test
