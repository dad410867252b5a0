#pragma once

#include "instrument/planner/candidates.h"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace bellhand::instrument {

/// Sets of pieces that occur, and all their subsets, ordered by number of members: neighbours differ by one piece.
/// Of equal pieces only how many are in a set matters (`Twins`).
class PieceLattice {
public:
    /// False when there are more sets than the sweeps can take in about a second.
    [[nodiscard]] bool build(const Twins& twins, const std::vector<PieceSet>& seeds);

    [[nodiscard]] std::size_t size() const { return sets_.size(); }
    /// Place of a set that occurs.
    [[nodiscard]] std::size_t index_of(PieceSet set) const;
    /// Largest number of members that occurs.
    [[nodiscard]] int deepest() const { return std::popcount(sets_.back()); }

    /// Any number of pieces out: cost[s] = min(cost[s], cost[s + p] + price), over and over.
    void sweep_down(std::vector<Cost>& cost, Cost price) const;
    /// Any number of pieces in: cost[s] = min(cost[s], cost[s - p] + price), over and over.
    void sweep_up(std::vector<Cost>& cost, Cost price) const;
    /// Exactly one piece out, without price.
    void step_down(const std::vector<Cost>& from, std::vector<Cost>& to) const;
    /// One piece in, or none.
    void step_up(std::vector<Cost>& cost, Cost price) const;

private:
    std::vector<PieceSet> sets_; ///< by members, then by value
    std::vector<std::size_t> level_begin_;
    std::vector<std::size_t> smaller_begin_;
    std::vector<std::uint32_t> smaller_; ///< places of the sets with one piece less
};

} // namespace bellhand::instrument
