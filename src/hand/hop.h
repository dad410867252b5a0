#pragma once

#include "hand/features.h"

#include <cstddef>
#include <vector>

namespace bellhand::hand {

/// What is kept of a hop until its note is over.
struct Hop {
    double time_s = 0.0;
    bool voiced = false;
    double live_cents = 0.0;     ///< 1200 log2(f0 / 1 Hz), at `time_s`
    double judged_cents = 0.0;   ///< the same, at `judged_time_s`
    double judged_time_s = -1.0; ///< below 0: none
    double judged_sd_cents = 0.0;
    double level_dbfs = -200.0;
    Colour colour;
};

/// The newest hops, 21 s of them; the whole store is allocated at once.
class HopRing {
public:
    static constexpr std::size_t kHops = 4096;

    HopRing() : hops_(kHops) {}

    void add(const Hop& hop) noexcept { hops_[count_++ % kHops] = hop; }
    [[nodiscard]] std::size_t size() const noexcept { return count_ < kHops ? count_ : kHops; }
    /// 0 is the newest; `back` < size().
    [[nodiscard]] const Hop& back(std::size_t back) const noexcept {
        return hops_[(count_ - 1 - back) % kHops];
    }
    /// How many hops back the oldest one at or after `time_s` lies; size() when there is none.
    [[nodiscard]] std::size_t since(double time_s) const noexcept {
        std::size_t back = 0;
        while (back < size() && this->back(back).time_s >= time_s) {
            ++back;
        }
        return back == 0 ? size() : back - 1;
    }
    void clear() noexcept { count_ = 0; }

private:
    std::vector<Hop> hops_;
    std::size_t count_ = 0;
};

} // namespace bellhand::hand
