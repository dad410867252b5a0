#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <type_traits>

namespace bellhand::audio {

/// The newest value from one writing thread for one reading thread; older ones are lost. Neither side locks, waits or
/// allocates. Three slots: each side owns one, the third is exchanged.
template <typename T>
class LatestValue {
    static_assert(std::is_trivially_copyable_v<T>, "copied on a real-time thread");

public:
    /// Writer only.
    void write(const T& value) noexcept {
        slots_[writing_] = value;
        writing_ = middle_.exchange(writing_ | kFresh, std::memory_order_acq_rel) & kIndex;
    }

    /// Reader only. False when nothing was written since the last time: `out` is untouched.
    [[nodiscard]] bool read(T& out) noexcept {
        if ((middle_.load(std::memory_order_relaxed) & kFresh) == 0) {
            return false;
        }
        reading_ = middle_.exchange(reading_, std::memory_order_acq_rel) & kIndex;
        out = slots_[reading_];
        return true;
    }

private:
    static constexpr std::uint32_t kFresh = 4;
    static constexpr std::uint32_t kIndex = 3;
    std::array<T, 3> slots_{};
    std::uint32_t writing_ = 0;
    std::uint32_t reading_ = 1;
    std::atomic<std::uint32_t> middle_{2};
};

} // namespace bellhand::audio
