#include "instrument/planner/piece_lattice.h"

#include <algorithm>

namespace bellhand::instrument {

namespace {

constexpr std::size_t kMostSets = 1'500'000;

template <typename Visit>
void each_smaller(const Twins& twins, PieceSet set, Visit visit) {
    for (PieceSet rest = set; rest != 0; rest &= rest - 1) {
        const PieceSet smaller = set & ~(rest & (~rest + 1));
        if (twins.canonical(smaller)) {
            visit(smaller);
        }
    }
}

/// cost = min(cost, other + price), column by column.
void take_cheaper(Cost* cost, const Cost* other, Cost price, std::size_t width) {
    for (std::size_t i = 0; i < width; ++i) {
        cost[i] = std::min(cost[i], other[i] + price);
    }
}

} // namespace

bool PieceLattice::build(const Twins& twins, const std::vector<PieceSet>& seeds) {
    std::vector<std::vector<PieceSet>> levels(33);
    for (const PieceSet set : seeds) {
        levels[static_cast<std::size_t>(std::popcount(set))].push_back(set);
    }
    levels[0].push_back(0);
    std::size_t total = 0;
    for (std::size_t level = levels.size(); level-- > 0;) {
        auto& sets = levels[level];
        std::sort(sets.begin(), sets.end());
        sets.erase(std::unique(sets.begin(), sets.end()), sets.end());
        total += sets.size();
        if (total > kMostSets) {
            return false;
        }
        for (const PieceSet set : sets) {
            each_smaller(
                twins, set, [&](PieceSet smaller) { levels[level - 1].push_back(smaller); });
        }
    }
    level_begin_.push_back(0);
    for (const auto& sets : levels) {
        sets_.insert(sets_.end(), sets.begin(), sets.end());
        level_begin_.push_back(sets_.size());
    }
    smaller_begin_.reserve(sets_.size() + 1);
    smaller_begin_.push_back(0);
    for (const PieceSet set : sets_) {
        each_smaller(twins, set, [&](PieceSet smaller) {
            smaller_.push_back(static_cast<std::uint32_t>(index_of(smaller)));
        });
        smaller_begin_.push_back(smaller_.size());
    }
    return true;
}

std::size_t PieceLattice::index_of(PieceSet set) const {
    const auto level = static_cast<std::size_t>(std::popcount(set));
    const auto begin = sets_.begin() + static_cast<std::ptrdiff_t>(level_begin_[level]);
    const auto end = sets_.begin() + static_cast<std::ptrdiff_t>(level_begin_[level + 1]);
    return static_cast<std::size_t>(std::lower_bound(begin, end, set) - sets_.begin());
}

void PieceLattice::sweep_down(std::vector<Cost>& cost, Cost price, std::size_t width) const {
    for (std::size_t i = sets_.size(); i-- > 0;) {
        for (std::size_t k = smaller_begin_[i]; k < smaller_begin_[i + 1]; ++k) {
            take_cheaper(&cost[smaller_[k] * width], &cost[i * width], price, width);
        }
    }
}

void PieceLattice::sweep_up(std::vector<Cost>& cost, Cost price, std::size_t width) const {
    for (std::size_t i = 0; i < sets_.size(); ++i) {
        for (std::size_t k = smaller_begin_[i]; k < smaller_begin_[i + 1]; ++k) {
            take_cheaper(&cost[i * width], &cost[smaller_[k] * width], price, width);
        }
    }
}

void PieceLattice::step_down(const std::vector<Cost>& from,
                             std::vector<Cost>& to,
                             std::size_t width) const {
    std::fill(to.begin(), to.end(), kNoPlan);
    for (std::size_t i = 0; i < sets_.size(); ++i) {
        for (std::size_t k = smaller_begin_[i]; k < smaller_begin_[i + 1]; ++k) {
            take_cheaper(&to[smaller_[k] * width], &from[i * width], 0, width);
        }
    }
}

void PieceLattice::step_up(std::vector<Cost>& cost, Cost price, std::size_t width) const {
    // From the largest sets down, so that each reads values from before the step.
    for (std::size_t i = sets_.size(); i-- > 0;) {
        for (std::size_t k = smaller_begin_[i]; k < smaller_begin_[i + 1]; ++k) {
            take_cheaper(&cost[i * width], &cost[smaller_[k] * width], price, width);
        }
    }
}

} // namespace bellhand::instrument
