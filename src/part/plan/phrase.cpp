#include "part/plan/phrase.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace bellhand::part {

namespace {

constexpr int kHundred = 100;

bool stopped(const Choice& choice) {
    return choice.quarters >= 3;
}

bool full_stop(const Choice& choice) {
    return choice.quarters == 4;
}

bool same_way(const Choice& a, const Choice& b) {
    return a.way.partial == b.way.partial && a.quarters == b.quarters;
}

void put_note_costs(const PhraseNote& note,
                    const Choice& choice,
                    const Costs& costs,
                    CostParts& parts) {
    const int lips =
        static_cast<int>(std::lround(std::min(std::fabs(choice.lips_cents), 10'000.0)));
    parts.lips = std::min(costs.lips_most,
                          std::max(0, lips - costs.lips_free_cents) * costs.lips_per_10_cents / 10);
    parts.tone = (5 - choice.evenness) * costs.tone_per_step;
    parts.poor = choice.way.poor ? costs.poor : 0;
    parts.unusual = choice.usual ? 0 : costs.unusual;
    parts.compass = choice.outside * costs.outside_per_partial;
    if (stopped(choice) && note.dynamic == Dynamic::pp) {
        parts.loudness = costs.stopped_pp;
    } else if (stopped(choice) && note.dynamic == Dynamic::ff && !note.accent) {
        parts.loudness = costs.stopped_ff;
    }
    if (note.exposed) {
        for (int* const part : {&parts.lips,
                                &parts.tone,
                                &parts.poor,
                                &parts.unusual,
                                &parts.compass,
                                &parts.loudness}) {
            *part = *part * costs.exposed_percent / kHundred;
        }
    }
}

void put_change_costs(const PhraseNote& note,
                      const Choice& choice,
                      const Choice& before,
                      const Costs& costs,
                      CostParts& parts) {
    const int travel = std::abs(choice.quarters - before.quarters);
    parts.travel = travel * costs.travel_per_quarter;
    // The share of the time from attack to attack that the hand is on its way.
    const int share = travel * costs.travel_full_ms * kHundred / 4 / std::max(note.since_ms, 1);
    parts.haste = std::max(0, share - costs.haste_free_percent) * costs.haste_per_10_percent / 10;
    parts.tone_change = std::abs(choice.evenness - before.evenness) * costs.tone_change_per_step;
    if (full_stop(choice) != full_stop(before)) {
        parts.tone_change += costs.onto_full_stop;
    }
    if (note.slurred) {
        parts.tone_change = parts.tone_change * costs.slur_percent / kHundred;
    }
}

/// The tie-breakers of one note.
PlanScore score_of(const CostParts& parts, const Choice& choice, const Choice* before) {
    const bool changes = before != nullptr && before->quarters != choice.quarters;
    return {parts.sum(), changes ? 1 : 0, choice.usual ? 0 : 1, std::max(choice.quarters, 0)};
}

Neighbour neighbour(std::span<const PhraseNote> phrase, std::size_t note, std::size_t choice) {
    return {&phrase[note], &phrase[note].choices[choice]};
}

/// What the note adds, `two` and `one` being the choices of the notes before it (ignored where there are none).
PlanScore added(std::span<const PhraseNote> phrase,
                std::size_t at,
                std::size_t two,
                std::size_t one,
                std::size_t here,
                const Costs& costs) {
    const Neighbour before = at >= 1 ? neighbour(phrase, at - 1, one) : Neighbour{};
    const Neighbour before_that = at >= 2 ? neighbour(phrase, at - 2, two) : Neighbour{};
    const Choice& choice = phrase[at].choices[here];
    return score_of(cost_of(phrase[at], choice, before, before_that, costs), choice, before.choice);
}

/// The cheapest way to the choices of two neighbouring notes, (one, here).
struct State {
    PlanScore score;
    std::size_t two = 0; ///< the choice before `one` on that way
};

std::size_t choices_at(std::span<const PhraseNote> phrase, std::size_t at) {
    return phrase[at].choices.size();
}

/// The states of a note from those of the note before; what is before the first has one choice. The index is
/// one * (choices of the note) + here.
std::vector<State> states_of(std::span<const PhraseNote> phrase,
                             std::size_t at,
                             const std::vector<State>& before,
                             const Costs& costs) {
    const std::size_t ones = at >= 1 ? choices_at(phrase, at - 1) : 1;
    const std::size_t twos = at >= 2 ? choices_at(phrase, at - 2) : 1;
    const std::size_t heres = choices_at(phrase, at);
    std::vector<State> states(ones * heres);
    for (std::size_t index = 0; index < states.size(); ++index) {
        const std::size_t one = index / heres;
        for (std::size_t two = 0; two < twos; ++two) {
            PlanScore score = at >= 1 ? before[two * ones + one].score : PlanScore{};
            score += added(phrase, at, two, one, index % heres, costs);
            if (two == 0 || score < states[index].score) {
                states[index] = {score, two};
            }
        }
    }
    return states;
}

} // namespace

PlanScore& PlanScore::operator+=(const PlanScore& other) noexcept {
    cost += other.cost;
    changes += other.changes;
    unusual += other.unusual;
    closed += other.closed;
    return *this;
}

CostParts cost_of(const PhraseNote& note,
                  const Choice& choice,
                  Neighbour before,
                  Neighbour before_that,
                  const Costs& costs) noexcept {
    CostParts parts;
    put_note_costs(note, choice, costs, parts);
    if (before.choice != nullptr) {
        put_change_costs(note, choice, *before.choice, costs, parts);
    }
    for (const Neighbour& near : {before, before_that}) {
        if (near.choice != nullptr && near.note->number == note.number &&
            !same_way(*near.choice, choice)) {
            parts.same_pitch = costs.same_pitch_other_way;
        }
    }
    return parts;
}

PlanScore phrase_score(std::span<const PhraseNote> phrase,
                       std::span<const std::size_t> chosen,
                       const Costs& costs) {
    PlanScore score;
    for (std::size_t at = 0; at < phrase.size(); ++at) {
        score += added(phrase,
                       at,
                       at >= 2 ? chosen[at - 2] : 0,
                       at >= 1 ? chosen[at - 1] : 0,
                       chosen[at],
                       costs);
    }
    return score;
}

std::vector<std::size_t> cheapest(std::span<const PhraseNote> phrase, const Costs& costs) {
    if (phrase.empty()) {
        return {};
    }
    std::vector<std::vector<State>> states(phrase.size());
    for (std::size_t at = 0; at < phrase.size(); ++at) {
        states[at] = states_of(phrase, at, at == 0 ? std::vector<State>{} : states[at - 1], costs);
    }
    const std::vector<State>& last = states.back();
    const auto best = static_cast<std::size_t>(
        std::min_element(last.begin(),
                         last.end(),
                         [](const State& a, const State& b) { return a.score < b.score; }) -
        last.begin());
    std::vector<std::size_t> chosen(phrase.size());
    std::size_t here = best % choices_at(phrase, phrase.size() - 1);
    std::size_t one = best / choices_at(phrase, phrase.size() - 1);
    for (std::size_t at = phrase.size(); at-- > 0;) {
        chosen[at] = here;
        const std::size_t two = states[at][one * choices_at(phrase, at) + here].two;
        here = one;
        one = two;
    }
    return chosen;
}

} // namespace bellhand::part
