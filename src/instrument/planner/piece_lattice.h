#pragma once

#include "instrument/planner/change.h"

#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace bellhand::instrument {

/// Packed cost of a plan; see `Weighing`.
using Cost = std::int64_t;
inline constexpr Cost kNoPlan = std::numeric_limits<Cost>::max() / 2;

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

    /// How many neighbours are compared in one sweep.
    [[nodiscard]] std::size_t edges() const { return smaller_.size(); }

    // Costs stand set by set, `width` columns each (slide places, swept side by side).

    /// Any number of pieces out: cost[s] = min(cost[s], cost[s + p] + price), over and over.
    void sweep_down(std::vector<Cost>& cost, Cost price, std::size_t width) const;
    /// Any number of pieces in: cost[s] = min(cost[s], cost[s - p] + price), over and over.
    void sweep_up(std::vector<Cost>& cost, Cost price, std::size_t width) const;
    /// Exactly one piece out, without price.
    void step_down(const std::vector<Cost>& from, std::vector<Cost>& to, std::size_t width) const;
    /// One piece in, or none.
    void step_up(std::vector<Cost>& cost, Cost price, std::size_t width) const;

private:
    std::vector<PieceSet> sets_; ///< by members, then by value
    std::vector<std::size_t> level_begin_;
    std::vector<std::size_t> smaller_begin_;
    std::vector<std::uint32_t> smaller_; ///< places of the sets with one piece less
};

} // namespace bellhand::instrument
