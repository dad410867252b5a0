#include "progress/distribution.h"

#include <algorithm>
#include <cmath>

namespace bellhand::progress {

double quantile_cents(const logbook::Bins& bins, double share) noexcept {
    double total = 0.0;
    for (const logbook::Bin& bin : bins) {
        total += static_cast<double>(bin.notes);
    }
    const double wanted = std::clamp(share, 0.0, 1.0) * total;
    double below = 0.0;
    double last = 0.0;
    for (const logbook::Bin& bin : bins) {
        const auto notes = static_cast<double>(bin.notes);
        if (notes <= 0.0) {
            continue;
        }
        last = bin.cents + 0.5;
        if (below + notes >= wanted) {
            return bin.cents - 0.5 + (wanted - below) / notes;
        }
        below += notes;
    }
    return last;
}

Figures figures_of(const logbook::Bins& bins) noexcept {
    Figures figures;
    std::int64_t in_tune = 0;
    for (const logbook::Bin& bin : bins) {
        figures.notes += bin.notes;
        in_tune += bin.in_tune;
    }
    if (figures.notes == 0) {
        return figures;
    }
    figures.median_cents = quantile_cents(bins, 0.5);
    figures.spread_cents = (quantile_cents(bins, 0.84) - quantile_cents(bins, 0.16)) / 2.0;
    figures.right_share = static_cast<double>(in_tune) / static_cast<double>(figures.notes);
    return figures;
}

void add_bins(logbook::Bins& sum, const logbook::Bins& more) {
    logbook::Bins merged;
    merged.reserve(sum.size() + more.size());
    auto a = sum.begin();
    auto b = more.begin();
    while (a != sum.end() || b != more.end()) {
        if (b == more.end() || (a != sum.end() && a->cents < b->cents)) {
            merged.push_back(*a++);
        } else if (a == sum.end() || b->cents < a->cents) {
            merged.push_back(*b++);
        } else {
            merged.push_back({a->cents, a->notes + b->notes, a->in_tune + b->in_tune});
            ++a;
            ++b;
        }
    }
    sum = std::move(merged);
}

double cautious_share(double seen, double of) noexcept {
    if (of <= 0.0) {
        return 0.0;
    }
    const double share = seen / of;
    // The score interval at z = 1.
    return (share + 0.5 / of - std::sqrt(share * (1.0 - share) / of + 0.25 / (of * of))) /
           (1.0 + 1.0 / of);
}

} // namespace bellhand::progress
