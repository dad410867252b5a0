// The fewest pieces that build every target, exact.
//
// Sets S of couplers and bits are taken in order of size. What a crook can build with the pieces of S follows from the
// sets one smaller: covered(c, S) = targets c builds with exactly S, or with S less one piece. For each S the fewest
// crooks that together cover all targets are found by branching on the target with the fewest crooks. Sizes end where
// even the fewest crooks that any S could need would no longer improve the total. Every smallest packing is kept, and
// the best of them by the later wishes is found by planning each on its own.
#include "instrument/planner/candidates.h"

#include <algorithm>
#include <unordered_map>
#include <utility>

namespace bellhand::instrument {

namespace {

using Targets = std::uint64_t; // bit t: target t

constexpr std::size_t kMostCells = 24'000'000; // crooks times sets of one size: 190 MB
constexpr std::size_t kMostPackings = 4'000;   // equally small ones that are compared

/// Crooks (bit = slot, the bare body is not among them) and pieces between, in the compact numbering.
struct Packing {
    std::uint64_t crooks = 0;
    PieceSet between = 0;
};

/// Binomial coefficients up to 32, saturating far above every limit here.
class Binomials {
public:
    Binomials() {
        for (std::size_t n = 0; n <= 33; ++n) {
            value_[n][0] = 1;
            for (std::size_t k = 1; k <= 33; ++k) {
                value_[n][k] = n == 0 ? 0 : value_[n - 1][k - 1] + value_[n - 1][k];
            }
        }
    }
    [[nodiscard]] std::uint64_t operator()(std::size_t n, std::size_t k) const {
        return k > n ? 0 : value_[n][k];
    }
    /// Place of a set among the sets of its size in order of value (combinatorial number system).
    [[nodiscard]] std::size_t rank(PieceSet set) const {
        std::size_t rank = 0;
        for (std::size_t k = 1; set != 0; set &= set - 1, ++k) {
            rank += value_[static_cast<std::size_t>(std::countr_zero(set))][k];
        }
        return rank;
    }

private:
    std::array<std::array<std::uint64_t, 34>, 34> value_{};
};

/// Every way to cover all targets with `limit` or fewer crooks; the fewest win.
class CrookCover {
public:
    /// `cover`: what each crook builds; `bare`: what the body alone builds. Returns the smallest number of crooks, or
    /// limit + 1 when there is none; `found` gets every smallest cover.
    int search(const Targets* cover,
               std::size_t slots,
               Targets bare,
               Targets all,
               int limit,
               std::vector<std::uint64_t>& found) {
        cover_ = cover;
        slots_ = slots;
        found.clear();
        for (int allowed = 0; allowed <= limit; ++allowed) {
            branch(all & ~bare, 0, allowed, found);
            if (!found.empty()) {
                std::sort(found.begin(), found.end());
                found.erase(std::unique(found.begin(), found.end()), found.end());
                return allowed;
            }
        }
        return limit + 1;
    }

private:
    void branch(Targets open, std::uint64_t used, int allowed, std::vector<std::uint64_t>& found) {
        if (open == 0) {
            found.push_back(used);
            return;
        }
        if (allowed == 0) {
            return;
        }
        Targets rarest = 0;
        int fewest = 65;
        for (Targets rest = open; rest != 0; rest &= rest - 1) {
            const Targets target = rest & (~rest + 1);
            int builders = 0;
            for (std::size_t slot = 0; slot < slots_; ++slot) {
                builders += (cover_[slot] & target) != 0 ? 1 : 0;
            }
            if (builders < fewest) {
                fewest = builders;
                rarest = target;
            }
        }
        for (std::size_t slot = 0; slot < slots_; ++slot) {
            if ((cover_[slot] & rarest) != 0) {
                branch(open & ~cover_[slot], used | (std::uint64_t{1} << slot), allowed - 1, found);
            }
        }
    }

    const Targets* cover_ = nullptr;
    std::size_t slots_ = 0;
};

class FewestSearch {
public:
    FewestSearch(const Twins& twins, const Candidates& candidates) : candidates_(candidates) {
        number_pieces(twins);
        for (std::size_t target = 0; target < candidates.of_target.size(); ++target) {
            const auto& list = candidates.of_target[target];
            all_ |= list.empty() ? 0 : Targets{1} << target;
            for (const Candidate& candidate : list) {
                exact_.push_back({compact(candidate.stack.between),
                                  slot_of(candidate.stack.crook),
                                  Targets{1} << target});
            }
        }
        // By size, then by value: the order in which the sets are visited.
        std::sort(exact_.begin(), exact_.end(), [](const Exact& a, const Exact& b) {
            const int a_size = std::popcount(a.set);
            const int b_size = std::popcount(b.set);
            return a_size != b_size ? a_size < b_size : a.set < b.set;
        });
    }

    /// Fills `packings` with all smallest ones (compact numbering). False when it would not fit.
    [[nodiscard]] bool run() {
        const int least_crooks = fewest_crooks_with_everything();
        std::vector<Targets> smaller;
        std::vector<Targets> level;
        std::size_t cursor = 0;
        for (std::size_t size = 0; size <= pieces_.size(); ++size) {
            if (static_cast<int>(size) + least_crooks > best_) {
                break;
            }
            const std::uint64_t sets = binomials_(pieces_.size(), size);
            if (sets * (slots_.size() + 1) > kMostCells) {
                return false;
            }
            level.assign(static_cast<std::size_t>(sets) * width(), 0);
            visit_level(size, smaller, level, cursor);
            smaller.swap(level);
        }
        return true;
    }

    [[nodiscard]] int best() const { return best_; }
    [[nodiscard]] bool all_kept() const { return all_kept_; }
    [[nodiscard]] const std::vector<Packing>& packings() const { return packings_; }

    /// The candidates that a packing can build, with their places in the full lists.
    void
    restrict_to(const Packing& packing, Candidates& few, std::vector<std::vector<int>>& places) {
        if (by_stack_.empty()) {
            index_stacks();
        }
        for (std::size_t target = 0; target < few.of_target.size(); ++target) {
            few.of_target[target].clear();
            places[target].clear();
        }
        // Every subset of the packed pieces, with every packed crook and without.
        PieceSet set = packing.between;
        while (true) {
            take(set, -1, few, places);
            for (std::uint64_t rest = packing.crooks; rest != 0; rest &= rest - 1) {
                take(set, std::countr_zero(rest), few, places);
            }
            if (set == 0) {
                break;
            }
            set = (set - 1) & packing.between;
        }
    }

private:
    struct Exact {
        PieceSet set = 0;
        std::size_t slot = 0; ///< 0: the bare body, else crook slot + 1
        Targets targets = 0;
    };
    struct Occurrence {
        std::uint32_t target = 0;
        std::uint32_t place = 0;
    };

    [[nodiscard]] std::size_t width() const { return slots_.size() + 1; }

    /// Numbers the pieces and crooks that occur, each piece after its earlier twin.
    void number_pieces(const Twins& twins) {
        PieceSet used = 0;
        for (const auto& list : candidates_.of_target) {
            for (const Candidate& candidate : list) {
                used |= candidate.stack.between;
                if (candidate.stack.crook >= 0 &&
                    std::find(slots_.begin(), slots_.end(), candidate.stack.crook) ==
                        slots_.end()) {
                    slots_.push_back(candidate.stack.crook);
                }
            }
        }
        std::sort(slots_.begin(), slots_.end());
        compact_.assign(32, -1);
        while (used != 0) {
            for (PieceSet rest = used; rest != 0; rest &= rest - 1) {
                const int piece = std::countr_zero(rest);
                const int twin = twins.before[static_cast<std::size_t>(piece)];
                if (twin >= 0 && ((used >> twin) & 1U) != 0) {
                    continue;
                }
                used &= ~(PieceSet{1} << piece);
                compact_[static_cast<std::size_t>(piece)] = static_cast<int>(pieces_.size());
                if (twin >= 0) {
                    twins_.pairs.push_back({static_cast<int>(pieces_.size()),
                                            compact_[static_cast<std::size_t>(twin)]});
                }
                pieces_.push_back(piece);
            }
        }
    }

    [[nodiscard]] PieceSet compact(PieceSet set) const {
        PieceSet out = 0;
        for (; set != 0; set &= set - 1) {
            out |= PieceSet{1} << compact_[static_cast<std::size_t>(std::countr_zero(set))];
        }
        return out;
    }

    [[nodiscard]] std::size_t slot_of(int crook) const {
        return crook < 0 ? 0
                         : 1 + static_cast<std::size_t>(
                                   std::lower_bound(slots_.begin(), slots_.end(), crook) -
                                   slots_.begin());
    }

    /// A bound below for every set: with all pieces at hand no set needs fewer crooks than this.
    int fewest_crooks_with_everything() {
        std::vector<Targets> cover(width(), 0);
        for (const Exact& exact : exact_) {
            cover[exact.slot] |= exact.targets;
        }
        std::vector<std::uint64_t> found;
        return cover_search_.search(cover.data() + 1,
                                    slots_.size(),
                                    cover[0],
                                    all_,
                                    static_cast<int>(slots_.size()),
                                    found);
    }

    void visit_level(std::size_t size,
                     const std::vector<Targets>& smaller,
                     std::vector<Targets>& level,
                     std::size_t& cursor) {
        const std::uint64_t end = std::uint64_t{1} << pieces_.size();
        std::uint64_t set = (std::uint64_t{1} << size) - 1;
        for (std::size_t rank = 0; set < end; ++rank) {
            visit(static_cast<PieceSet>(set), &level[rank * width()], smaller, cursor);
            if (size == 0) {
                break;
            }
            // The next larger number with as many bits (Gosper, HAKMEM item 175, 1972).
            const std::uint64_t lowest = set & (~set + 1);
            const std::uint64_t ripple = set + lowest;
            set = (((ripple ^ set) >> 2) / lowest) | ripple;
        }
    }

    void
    visit(PieceSet set, Targets* cover, const std::vector<Targets>& smaller, std::size_t& cursor) {
        if (!twins_.canonical(set)) {
            return;
        }
        for (PieceSet rest = set; rest != 0; rest &= rest - 1) {
            const PieceSet less = set & ~(rest & (~rest + 1));
            if (!twins_.canonical(less)) {
                continue;
            }
            const Targets* const part = &smaller[binomials_.rank(less) * width()];
            for (std::size_t slot = 0; slot < width(); ++slot) {
                cover[slot] |= part[slot];
            }
        }
        const int size = std::popcount(set);
        while (cursor < exact_.size() &&
               (std::popcount(exact_[cursor].set) < size ||
                (std::popcount(exact_[cursor].set) == size && exact_[cursor].set <= set))) {
            if (exact_[cursor].set == set) {
                cover[exact_[cursor].slot] |= exact_[cursor].targets;
            }
            ++cursor;
        }
        Targets together = 0;
        for (std::size_t slot = 0; slot < width(); ++slot) {
            together |= cover[slot];
        }
        const int limit = std::min(static_cast<int>(slots_.size()), best_ - size);
        if (together != all_ || limit < 0) {
            return;
        }
        const int crooks =
            cover_search_.search(cover + 1, slots_.size(), cover[0], all_, limit, covers_);
        if (crooks > limit) {
            return;
        }
        if (size + crooks < best_) {
            best_ = size + crooks;
            packings_.clear();
            all_kept_ = true;
        }
        for (const std::uint64_t used : covers_) {
            if (packings_.size() >= kMostPackings) {
                all_kept_ = false;
                return;
            }
            packings_.push_back({used, set});
        }
    }

    static std::uint64_t key(PieceSet set, int slot) {
        return (static_cast<std::uint64_t>(static_cast<std::uint32_t>(slot + 1)) << 32) | set;
    }

    void index_stacks() {
        for (std::size_t target = 0; target < candidates_.of_target.size(); ++target) {
            const auto& list = candidates_.of_target[target];
            for (std::size_t i = 0; i < list.size(); ++i) {
                const int slot = static_cast<int>(slot_of(list[i].stack.crook)) - 1;
                by_stack_[key(compact(list[i].stack.between), slot)].push_back(
                    {static_cast<std::uint32_t>(target), static_cast<std::uint32_t>(i)});
            }
        }
    }

    void take(PieceSet set, int slot, Candidates& few, std::vector<std::vector<int>>& places) {
        const auto found = by_stack_.find(key(set, slot));
        if (found == by_stack_.end()) {
            return;
        }
        for (const Occurrence& at : found->second) {
            few.of_target[at.target].push_back(candidates_.of_target[at.target][at.place]);
            places[at.target].push_back(static_cast<int>(at.place));
        }
    }

    const Candidates& candidates_;
    Binomials binomials_;
    std::vector<int> slots_;   ///< crooks that occur
    std::vector<int> pieces_;  ///< pieces that occur
    std::vector<int> compact_; ///< piece to its place in `pieces_`
    Twins twins_;              ///< in the compact numbering
    std::vector<Exact> exact_;
    Targets all_ = 0;
    CrookCover cover_search_;
    std::vector<std::uint64_t> covers_;
    int best_ = 1000;
    bool all_kept_ = true;
    std::vector<Packing> packings_;
    std::unordered_map<std::uint64_t, std::vector<Occurrence>> by_stack_;
};

} // namespace

std::optional<FewestChoice> fewest_pieces_choice(const Twins& twins,
                                                 const Candidates& candidates,
                                                 const Weighing& weighing,
                                                 const std::optional<Start>& from) {
    FewestSearch search(twins, candidates);
    if (!search.run()) {
        return std::nullopt;
    }
    FewestChoice best;
    best.pieces = static_cast<std::size_t>(search.best());
    best.all_compared = search.all_kept();
    Candidates few = candidates;
    std::vector<std::vector<int>> places(candidates.of_target.size());
    for (const Packing& packing : search.packings()) {
        search.restrict_to(packing, few, places);
        Choice choice = cheapest_choice_directly(few, weighing, from);
        if (choice.cost < best.choice.cost) {
            for (std::size_t step = 0; step < choice.of_step.size(); ++step) {
                if (const int target = few.target_of_step[step]; target >= 0) {
                    int& place = choice.of_step[step];
                    place =
                        places[static_cast<std::size_t>(target)][static_cast<std::size_t>(place)];
                }
            }
            best.choice = std::move(choice);
        }
    }
    return best;
}

} // namespace bellhand::instrument
