#pragma once

#include <array>
#include <cstdint>

namespace bellhand::trainer {

/// Counts pitches around a reference in bins of 0.1 cent, so that a note of any length has its median and percentiles
/// in constant memory, and values can be taken out again (a note that turns out to have ended a moment ago).
///
/// Why not a streaming quantile (P2) or a reservoir: both only approximate, neither can forget. Inside a bin the values
/// are taken as evenly spread, so a quantile is off by less than one bin; far below what a note's pitch means.
class DeviationHistogram {
public:
    static constexpr double kRangeCents = 200.0; ///< to each side of the reference
    static constexpr double kBinCents = 0.1;

    /// Forgets everything; deviations are from `reference_cents` now on.
    void reset(double reference_cents) noexcept;
    /// `cents` on the same scale as the reference. Outside the range: ignored (a slip of another partial, no deviation).
    void add(double cents) noexcept { count(cents, 1); }
    /// Takes a value back that was added.
    void remove(double cents) noexcept { count(cents, -1); }
    [[nodiscard]] std::uint32_t size() const noexcept { return total_; }
    /// The pitch below which `share` (0..1) of the values lie, on the scale of `add`. The reference when empty.
    [[nodiscard]] double quantile(double share) const noexcept;

private:
    static constexpr int kBins = 4000;
    void count(double cents, int step) noexcept;

    double reference_cents_ = 0.0;
    std::uint32_t total_ = 0;
    int lowest_ = kBins; // bins in use lie in lowest_..highest_
    int highest_ = -1;
    std::array<std::uint32_t, kBins> bins_{};
};

} // namespace bellhand::trainer
