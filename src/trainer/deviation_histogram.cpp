#include "trainer/deviation_histogram.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

void DeviationHistogram::reset(double reference_cents) noexcept {
    for (int bin = lowest_; bin <= highest_; ++bin) {
        bins_[static_cast<std::size_t>(bin)] = 0;
    }
    reference_cents_ = reference_cents;
    total_ = 0;
    lowest_ = kBins;
    highest_ = -1;
}

void DeviationHistogram::count(double cents, int step) noexcept {
    const double place = std::floor((cents - reference_cents_ + kRangeCents) / kBinCents);
    if (!(place >= 0.0 && place < kBins)) {
        return;
    }
    const int bin = static_cast<int>(place);
    std::uint32_t& held = bins_[static_cast<std::size_t>(bin)];
    if (step < 0) {
        if (held > 0) {
            --held;
            --total_;
        }
        return;
    }
    ++held;
    ++total_;
    lowest_ = std::min(lowest_, bin);
    highest_ = std::max(highest_, bin);
}

double DeviationHistogram::quantile(double share) const noexcept {
    if (total_ == 0) {
        return reference_cents_;
    }
    const double wanted = share * total_;
    double below = 0.0;
    for (int bin = lowest_; bin <= highest_; ++bin) {
        const double here = bins_[static_cast<std::size_t>(bin)];
        if (here > 0.0 && below + here >= wanted) {
            const double inside = (wanted - below) / here;
            return reference_cents_ - kRangeCents + (bin + inside) * kBinCents;
        }
        below += here;
    }
    return reference_cents_ - kRangeCents + (highest_ + 1) * kBinCents;
}

} // namespace bellhand::trainer
