#pragma once

#include <span>

namespace bellhand::pitch {

/// Sum of squared differences between a stretch and the stretch one lag earlier, and the energy of both.
struct Mismatch {
    double difference = 0.0;
    double energy = 0.0;
    double newer = 0.0; ///< energy of the newer stretch alone

    /// 0: repeats exactly, 1: nothing in common.
    [[nodiscard]] double ratio() const noexcept { return energy > 0.0 ? difference / energy : 1.0; }
};

/// Compares x[end - count, end) with itself `lag` samples earlier; `lag` need not be whole (sixteen-point windowed sinc).
/// `x` must hold count + lag + 9 samples before `end`, and `lag` be at least 9.
[[nodiscard]] Mismatch
match_period(std::span<const float> x, std::size_t end, std::size_t count, double lag) noexcept;

/// What a search for the period in a very short stretch found.
struct ShortPeriod {
    double lag = 0.0;      ///< samples, 0: none
    double ratio = 1.0;    ///< mismatch there
    std::size_t count = 0; ///< samples compared
};

/// Shortest period that the newest `usable` samples of `x` repeat with, from little more than one and a half periods
/// (super-resolution pitch determination of Medan, Yair and Chazan 1991, with the window shared out anew for each lag).
///
/// `shortest` and `longest` bound the lag; `least` is the fewest samples to compare; `expected` (0: none) breaks ties.
[[nodiscard]] ShortPeriod find_short_period(std::span<const float> x,
                                            std::size_t usable,
                                            std::size_t shortest,
                                            std::size_t longest,
                                            std::size_t least,
                                            double expected,
                                            std::span<float> scratch) noexcept;

} // namespace bellhand::pitch
