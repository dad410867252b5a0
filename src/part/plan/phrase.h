#pragma once

#include "part/plan/choices.h"
#include "part/plan/costs.h"

#include <compare>
#include <cstdint>
#include <span>
#include <vector>

namespace bellhand::part {

/// What one note of a plan costs, by reason.
struct CostParts {
    int lips = 0;
    int tone = 0;
    int poor = 0;
    int unusual = 0;
    int loudness = 0; ///< stopped at pp or ff
    int compass = 0;
    int travel = 0;
    int haste = 0;
    int tone_change = 0;
    int same_pitch = 0;

    [[nodiscard]] int sum() const noexcept {
        return lips + tone + poor + unusual + loudness + compass + travel + haste + tone_change +
               same_pitch;
    }
};

/// What a plan costs; of equal costs the one with fewer changes of the hand, then with more usual ways, then the more
/// open.
struct PlanScore {
    std::int64_t cost = 0;
    int changes = 0;
    int unusual = 0;
    int closed = 0;

    friend auto operator<=>(const PlanScore&, const PlanScore&) = default;
    PlanScore& operator+=(const PlanScore& other) noexcept;
};

/// A note of a phrase with the ways it can be played.
struct PhraseNote {
    std::vector<Choice> choices; ///< at least one
    int number = 60;             ///< written
    int since_ms = 1000;         ///< from the attack before
    bool exposed = false;        ///< long, or before a rest
    bool slurred = false;
    bool accent = false;
    Dynamic dynamic = Dynamic::unsaid;
};

/// What `choice` costs on `note`, played after `before` and `before_that` (null at the beginning of a phrase).
struct Neighbour {
    const PhraseNote* note = nullptr;
    const Choice* choice = nullptr;
};
[[nodiscard]] CostParts cost_of(const PhraseNote& note,
                                const Choice& choice,
                                Neighbour before,
                                Neighbour before_that,
                                const Costs& costs) noexcept;

/// What a whole phrase costs, `chosen` being an index into the choices of each note.
[[nodiscard]] PlanScore phrase_score(std::span<const PhraseNote> phrase,
                                     std::span<const std::size_t> chosen,
                                     const Costs& costs);

/// The cheapest choices for a phrase (dynamic programming over the choices of two neighbouring notes, Bellman 1957):
/// exact, since no cost reaches further than three notes.
[[nodiscard]] std::vector<std::size_t> cheapest(std::span<const PhraseNote> phrase,
                                                const Costs& costs);

} // namespace bellhand::part
