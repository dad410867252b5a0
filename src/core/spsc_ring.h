#pragma once

#include <atomic>
#include <cstddef>
#include <type_traits>
#include <vector>

namespace bellhand {

/// Bounded queue between exactly one writing and one reading thread.
///
/// Neither side ever locks, allocates or waits; when the ring is full `try_push` refuses and the writer counts the
/// loss, when it is empty `try_pop` refuses. The capacity is rounded up to a power of two. Memory order follows
/// Lamport's single-producer single-consumer queue (1983): each index is written by one side only and published with
/// release.
template <typename T>
class SpscRing {
    static_assert(std::is_trivially_copyable_v<T>, "copied on a real-time thread");

public:
    /// Allocates; call before the threads start.
    explicit SpscRing(std::size_t least_capacity) {
        std::size_t capacity = 2;
        while (capacity < least_capacity) {
            capacity *= 2;
        }
        slots_.resize(capacity);
    }

    SpscRing(const SpscRing&) = delete;
    SpscRing& operator=(const SpscRing&) = delete;

    [[nodiscard]] std::size_t capacity() const noexcept { return slots_.size(); }

    /// Writer only. False when full: nothing was written.
    [[nodiscard]] bool try_push(const T& item) noexcept {
        T* slot = claim();
        if (slot == nullptr) {
            return false;
        }
        *slot = item;
        publish();
        return true;
    }

    /// Writer only. The next free slot to fill in place, or null when full; `publish` hands it over.
    [[nodiscard]] T* claim() noexcept {
        const std::size_t head = head_.load(std::memory_order_relaxed);
        if (head - tail_.load(std::memory_order_acquire) == slots_.size()) {
            return nullptr;
        }
        return &slots_[head & (slots_.size() - 1)];
    }

    /// Writer only, after a successful `claim`.
    void publish() noexcept {
        head_.store(head_.load(std::memory_order_relaxed) + 1, std::memory_order_release);
    }

    /// Reader only. False when empty: `item` is untouched.
    [[nodiscard]] bool try_pop(T& item) noexcept {
        const T* slot = front();
        if (slot == nullptr) {
            return false;
        }
        item = *slot;
        release();
        return true;
    }

    /// Reader only. The oldest item in place, or null when empty; `release` frees it.
    [[nodiscard]] const T* front() const noexcept {
        const std::size_t tail = tail_.load(std::memory_order_relaxed);
        if (head_.load(std::memory_order_acquire) == tail) {
            return nullptr;
        }
        return &slots_[tail & (slots_.size() - 1)];
    }

    /// Reader only, after a successful `front`.
    void release() noexcept {
        tail_.store(tail_.load(std::memory_order_relaxed) + 1, std::memory_order_release);
    }

    /// Either side; exact for the side that calls, a moment old for the other.
    [[nodiscard]] std::size_t size() const noexcept {
        return head_.load(std::memory_order_acquire) - tail_.load(std::memory_order_acquire);
    }

private:
    std::vector<T> slots_;
    alignas(64) std::atomic<std::size_t> head_{0}; // written by the writer only
    alignas(64) std::atomic<std::size_t> tail_{0}; // written by the reader only
};

} // namespace bellhand
