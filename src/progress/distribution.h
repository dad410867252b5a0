#pragma once

#include "logbook/tallies.h"

#include <cstdint>

namespace bellhand::progress {

/// How a set of notes lay.
struct Figures {
    std::int64_t notes = 0;
    double median_cents = 0.0;
    double spread_cents = 0.0; ///< half the distance between the 16th and 84th percentile
    double right_share = 0.0;  ///< held part in tune, by the tolerance of its hand position
};

/// The deviation below which `share` (0..1) of the notes lie, the notes of a bin taken as evenly spread over its cent:
/// off by less than a cent. 0 when there are none.
[[nodiscard]] double quantile_cents(const logbook::Bins& bins, double share) noexcept;

[[nodiscard]] Figures figures_of(const logbook::Bins& bins) noexcept;

/// Adds `more` to `sum`, both by rising cents.
void add_bins(logbook::Bins& sum, const logbook::Bins& more);

/// A cautious estimate of a share that was seen `seen` times in `of`: the lower end of the score interval (Wilson,
/// Journal of the American Statistical Association 22, 1927), one standard deviation wide. Few tries pull it towards 0,
/// so that what failed once does not lead a list. 0 when `of` is 0.
[[nodiscard]] double cautious_share(double seen, double of) noexcept;

} // namespace bellhand::progress
