#pragma once

#include "trainer/reading.h"

#include <array>
#include <cstddef>

namespace bellhand::desk {

/// One moment of the drawn pitch.
struct ThreadPoint {
    double time_s = 0.0;
    float cents = 0.0F;    ///< deviation from the target of the note read at that moment
    float sd_cents = 0.0F; ///< how sure the reading is
    horn::Note written;
    horn::Hand hand = horn::Hand::open;
    bool sounding = false; ///< false: silence, the thread is broken here
    bool sure = false;     ///< false: heard too unsurely to judge by
};

/// The last seconds of pitch as deviations, oldest first. Fixed memory; the oldest points fall off.
class PitchThread {
public:
    static constexpr std::size_t kPoints = 2048; ///< eleven seconds at 187.5 readings a second

    void add(const trainer::Reading& reading) noexcept;
    void clear() noexcept { count_ = 0; }

    [[nodiscard]] std::size_t size() const noexcept { return count_ < kPoints ? count_ : kPoints; }
    /// `index` 0 is the oldest.
    [[nodiscard]] const ThreadPoint& operator[](std::size_t index) const noexcept {
        return points_[(count_ - size() + index) % kPoints];
    }

private:
    std::array<ThreadPoint, kPoints> points_{};
    std::size_t count_ = 0; // ever added
};

} // namespace bellhand::desk
