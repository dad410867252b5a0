#pragma once

#include "skill/plan.h"

#include <cstdint>
#include <map>
#include <random>

namespace bellhand::test {

/// A player who learns and forgets, for trying plans on. The model is another one than that which plans:
/// - success is logistic in a strength, item by item (Rasch 1960);
/// - each try moves the strength by a share of what is missing to certainty, in a quick and a slow part (two-state
///   model of motor learning, Smith, Ghazizadeh and Shadmehr 2006);
/// - the quick part is gone after a night (exponential), the slow one fades with a power of the days (Wixted and
///   Ebbesen 1991).
/// A transition's strength is its own, the note must succeed too. Constants: own choice, no published source.
class LearningPlayer {
public:
    LearningPlayer(std::uint64_t seed, std::int64_t now_s) : chance_(seed), now_s_(now_s) {}

    /// How hard an item is for this player; 0 = half of the first tries succeed.
    void set_talent(const skill::Item& item, double logits);
    void wait_until(std::int64_t now_s) noexcept { now_s_ = now_s; }
    [[nodiscard]] std::int64_t now_s() const noexcept { return now_s_; }

    /// Probability of success at this moment, without trying.
    [[nodiscard]] double probability(const skill::Item& item) const;
    /// Tries it, and learns from it.
    bool play(const skill::Item& item);

    /// Plays a block note by note, with every try told to `skills`; returns how many notes were played for each note
    /// item. The clock goes on as long as playing takes.
    std::map<skill::Item, int> play_block(const skill::PlannedBlock& block, skill::Skills& skills);

private:
    struct Strength {
        double talent = 1.0;
        double quick = 0.0;
        double slow = 0.0;
        std::int64_t last_s = 0;
    };
    [[nodiscard]] Strength faded(const Strength& strength) const;

    std::mt19937_64 chance_;
    std::int64_t now_s_;
    std::map<skill::Item, Strength> strengths_;
};

} // namespace bellhand::test
