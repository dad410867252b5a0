#pragma once

#include <atomic>

namespace bellhand::practice {

/// While the program plays a recording, the microphone hears it too: until its room has rung out, what is heard was not
/// played. One thread says when a recording plays, the analysis asks.
class PlayedBack {
public:
    void set(bool on) noexcept { on_.store(on, std::memory_order_relaxed); }
    /// The analysis thread, with each block.
    [[nodiscard]] bool sounds(double now_s) noexcept {
        constexpr double kRingsOut_s = 0.5;
        if (on_.load(std::memory_order_relaxed)) {
            until_s_ = now_s + kRingsOut_s;
        }
        return now_s < until_s_;
    }

private:
    std::atomic<bool> on_{false};
    double until_s_ = 0.0;
};

} // namespace bellhand::practice
