#include "part/plan/plan.h"

#include "horn/tuning.h"
#include "part/plan/reasons.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace bellhand::part {

namespace {

/// Attacks that are planned together: no rest, no impossible note and no other crook between them.
struct Phrase {
    std::vector<std::size_t> attacks;
    std::vector<PhraseNote> notes;
};

/// What the planned notes come to.
void sum_up(const Part& part, Plan& plan) {
    std::map<int, HardBar> bars;
    std::map<int, int> dearest;
    for (std::size_t i = 0; i < plan.notes.size(); ++i) {
        const PlannedNote& planned = plan.notes[i];
        plan.cost += planned.cost;
        if (planned.choice) {
            ++plan.hands[static_cast<std::size_t>(planned.choice->way.hand)];
        }
        const int at = part.attacks[i].at.bar;
        HardBar& bar = bars[at];
        bar.bar = at;
        bar.cost += planned.cost;
        if (planned.cost > dearest[at]) {
            dearest[at] = planned.cost;
            bar.reason = horn::display_name(part.attacks[i].written) + ": " + planned.reason;
        }
    }
    for (auto& [at, bar] : bars) {
        if (dearest[at] >= plan.hard_note) {
            plan.hardest.push_back(std::move(bar));
        }
    }
    constexpr std::size_t kShown = 5;
    std::stable_sort(plan.hardest.begin(),
                     plan.hardest.end(),
                     [](const HardBar& a, const HardBar& b) { return a.cost > b.cost; });
    plan.hardest.resize(std::min(plan.hardest.size(), kShown));
}

class Planner {
public:
    Planner(const Part& part, const PlanSettings& settings) : part_(part), settings_(settings) {
        for (const CrookChange& change : part.crooks) {
            const horn::Tuning tuning{
                change.crook, settings.a4_hz, settings.temperament, settings.footing};
            charts_.emplace_back(tuning,
                                 settings.response ? settings.response(tuning)
                                                   : horn::hand_response(tuning));
        }
    }

    Result<Plan> plan() {
        plan_.hard_note = settings_.costs.hard_note;
        plan_.notes.resize(part_.attacks.size());
        const auto pinned = take_pins();
        if (!pinned) {
            return tl::unexpected(pinned.error());
        }
        Phrase phrase;
        for (std::size_t i = 0; i < part_.attacks.size(); ++i) {
            if (!phrase.attacks.empty() && cut_before(i)) {
                finish(std::exchange(phrase, {}));
            }
            PhraseNote note = phrase_note(i);
            if (note.choices.empty()) {
                finish(std::exchange(phrase, {}));
                cannot_be(i);
                continue;
            }
            phrase.attacks.push_back(i);
            phrase.notes.push_back(std::move(note));
        }
        finish(std::move(phrase));
        sum_up(part_, plan_);
        return std::move(plan_);
    }

private:
    const horn::Crook& crook_of(const Attack& attack) const {
        return part_.crooks[attack.crook].crook;
    }

    /// Silence between the end of a note and the next attack, milliseconds.
    double rest_before_ms(std::size_t i) const {
        const Attack& before = part_.attacks[i - 1];
        return 1000.0 * (part_.attacks[i].start_s - before.start_s - before.length_s);
    }

    bool cut_before(std::size_t i) const {
        return rest_before_ms(i) >= settings_.costs.rest_ms ||
               part_.attacks[i].crook != part_.attacks[i - 1].crook;
    }

    PhraseNote phrase_note(std::size_t i) const {
        constexpr int kShortestRest_ms = 50; // less is no rest
        constexpr double kGrace_ms = 100.0;
        constexpr double kLongest_ms = 1e6;
        const Attack& attack = part_.attacks[i];
        PhraseNote note;
        note.choices = charts_[attack.crook].choices(attack.written, pins_[i]);
        note.number = attack.written.number;
        if (i > 0) {
            const double since_ms = 1000.0 * (attack.start_s - part_.attacks[i - 1].start_s);
            note.since_ms =
                static_cast<int>(std::lround(std::clamp(since_ms, kGrace_ms / 2, kLongest_ms)));
        }
        const bool before_rest =
            i + 1 == part_.attacks.size() || rest_before_ms(i + 1) >= kShortestRest_ms;
        note.exposed = before_rest || 1000.0 * attack.length_s >= settings_.costs.long_ms;
        note.slurred = attack.slurred;
        note.accent = attack.accent;
        note.dynamic = attack.dynamic;
        return note;
    }

    void cannot_be(std::size_t i) {
        const Attack& attack = part_.attacks[i];
        PlannedNote& planned = plan_.notes[i];
        planned.cost = settings_.costs.impossible;
        planned.reason = reason_impossible(attack.written, crook_of(attack));
        plan_.impossible.push_back(i);
    }

    void finish(const Phrase& phrase) {
        const std::vector<std::size_t> chosen = cheapest(phrase.notes, settings_.costs);
        const auto near = [&](std::size_t at, std::size_t back) {
            return at < back ? Neighbour{}
                             : Neighbour{&phrase.notes[at - back],
                                         &phrase.notes[at - back].choices[chosen[at - back]]};
        };
        for (std::size_t at = 0; at < chosen.size(); ++at) {
            const PhraseNote& note = phrase.notes[at];
            const Choice& choice = note.choices[chosen[at]];
            PlannedNote& planned = plan_.notes[phrase.attacks[at]];
            planned.choice = choice;
            planned.parts = cost_of(note, choice, near(at, 1), near(at, 2), settings_.costs);
            planned.cost = planned.parts.sum();
            planned.reason = reason(phrase, chosen, at, planned);
        }
    }

    /// With the costs of the usual way in the same place, up to the two notes that it would touch.
    std::string reason(const Phrase& phrase,
                       const std::vector<std::size_t>& chosen,
                       std::size_t at,
                       const PlannedNote& planned) const {
        const PhraseNote& note = phrase.notes[at];
        if (planned.choice->usual || !note.choices.front().usual) {
            return reason_for(note, *planned.choice, planned.pinned, planned.parts, nullptr);
        }
        const CostParts taken = touched(phrase, chosen, at);
        std::vector<std::size_t> other = chosen;
        other[at] = 0;
        const CostParts usual = touched(phrase, other, at);
        return reason_for(note, *planned.choice, planned.pinned, taken, &usual);
    }

    CostParts
    touched(const Phrase& phrase, const std::vector<std::size_t>& chosen, std::size_t at) const {
        CostParts sum;
        for (std::size_t i = at; i < std::min(at + 3, phrase.notes.size()); ++i) {
            const auto near = [&](std::size_t back) {
                return i < back ? Neighbour{}
                                : Neighbour{&phrase.notes[i - back],
                                            &phrase.notes[i - back].choices[chosen[i - back]]};
            };
            const CostParts one = cost_of(phrase.notes[i],
                                          phrase.notes[i].choices[chosen[i]],
                                          near(1),
                                          near(2),
                                          settings_.costs);
            for (int CostParts::*part : {&CostParts::lips,
                                         &CostParts::tone,
                                         &CostParts::poor,
                                         &CostParts::unusual,
                                         &CostParts::loudness,
                                         &CostParts::travel,
                                         &CostParts::haste,
                                         &CostParts::tone_change,
                                         &CostParts::same_pitch}) {
                sum.*part += one.*part;
            }
        }
        return sum;
    }

    Result<void> take_pins() {
        pins_.resize(part_.attacks.size());
        for (std::size_t i = 0; settings_.pins_in_file && i < part_.attacks.size(); ++i) {
            const Attack& attack = part_.attacks[i];
            if (!attack.mark) {
                continue;
            }
            const PinnedHand wanted{*attack.mark, std::nullopt};
            if (charts_[attack.crook].choices(attack.written, wanted).empty()) {
                plan_.doubts.push_back(sign_words(i) + " stands in the file, but " +
                                       no_such_way(i, wanted) + "; it was passed over.");
            } else {
                pins_[i] = wanted;
                plan_.notes[i].pinned = true;
            }
        }
        for (const Pin& pin : settings_.pins) {
            const auto i = attack_of(pin);
            if (!i) {
                return usage_error("There is no note " + std::to_string(pin.in_bar) + " in a bar " +
                                   pin.bar +
                                   ": count the notes of the bar that are struck, from 1.");
            }
            if (charts_[part_.attacks[*i].crook]
                    .choices(part_.attacks[*i].written, pin.hand)
                    .empty()) {
                return usage_error("The pin on bar " + pin.bar + ", note " +
                                   std::to_string(pin.in_bar) +
                                   " cannot be: " + no_such_way(*i, pin.hand) + ".");
            }
            pins_[*i] = pin.hand;
            plan_.notes[*i].pinned = true;
        }
        return {};
    }

    std::optional<std::size_t> attack_of(const Pin& pin) const {
        const auto bar = bar_numbered(part_.music, pin.bar);
        for (std::size_t i = 0; bar && i < part_.attacks.size(); ++i) {
            if (part_.attacks[i].at.bar == *bar && part_.attacks[i].in_bar == pin.in_bar) {
                return i;
            }
        }
        return std::nullopt;
    }

    std::string sign_words(std::size_t i) const {
        const Attack& attack = part_.attacks[i];
        return "A sign " + std::string(horn::hand_sign(*attack.mark)) + " in bar " +
               part_.music.bars[static_cast<std::size_t>(attack.at.bar)].number + ", note " +
               std::to_string(attack.in_bar);
    }

    std::string no_such_way(std::size_t i, const PinnedHand& wanted) const {
        const Attack& attack = part_.attacks[i];
        std::string known;
        for (const Choice& choice : charts_[attack.crook].choices(attack.written, std::nullopt)) {
            known += (known.empty() ? "" : ", ") + std::string(horn::hand_sign(choice.way.hand)) +
                     " on partial " + std::to_string(choice.way.partial);
        }
        return horn::display_name(attack.written) + " is not played " +
               horn::hand_label(wanted.hand) +
               (wanted.partial ? " on partial " + std::to_string(*wanted.partial) : "") +
               (known.empty() ? "" : ", but " + known);
    }

    const Part& part_;
    const PlanSettings& settings_;
    std::vector<ChoiceChart> charts_; ///< of the part's crooks
    std::vector<std::optional<PinnedHand>> pins_;
    Plan plan_;
};

bool needs_hand(const PlannedNote& planned) {
    return planned.choice && horn::tone_of(planned.choice->way) != horn::Tone::open;
}

} // namespace

Result<Plan> plan_part(const Part& part, const PlanSettings& settings) {
    return Planner(part, settings).plan();
}

Part notes_in(const Part& part, int first, int last) {
    Part some = part;
    std::erase_if(some.attacks, [&](const Attack& attack) {
        return attack.at.bar < first || attack.at.bar > last;
    });
    return some;
}

Plan notes_in(const Plan& plan, const Part& part, int first, int last) {
    Plan some;
    some.doubts = plan.doubts;
    some.hard_note = plan.hard_note;
    for (std::size_t i = 0; i < plan.notes.size(); ++i) {
        if (part.attacks[i].at.bar < first || part.attacks[i].at.bar > last) {
            continue;
        }
        if (!plan.notes[i].choice) {
            some.impossible.push_back(some.notes.size());
        }
        some.notes.push_back(plan.notes[i]);
    }
    sum_up(notes_in(part, first, last), some);
    return some;
}

Part rewritten_for(const Part& part, const horn::Crook& crook) {
    Part other = part;
    other.crooks = {{{}, crook, "chosen"}};
    for (Attack& attack : other.attacks) {
        attack.crook = 0;
        attack.written = horn::written_note(attack.sounding, crook);
        attack.mark.reset();
    }
    return other;
}

std::vector<CrookFit> compare_crooks(const Part& part, const PlanSettings& settings) {
    PlanSettings plain = settings;
    plain.pins.clear();
    std::vector<CrookFit> fits;
    for (const horn::Crook& crook : horn::all_crooks()) {
        const auto plan = plan_part(rewritten_for(part, crook), plain);
        if (!plan) {
            continue; // without pins there is nothing that can fail
        }
        CrookFit fit;
        fit.crook = crook;
        fit.cost = plan->cost;
        fit.impossible = static_cast<int>(plan->impossible.size());
        fit.hand_notes =
            static_cast<int>(std::count_if(plan->notes.begin(), plan->notes.end(), needs_hand));
        if (!plan->hardest.empty()) {
            fit.hardest = plan->hardest.front();
        }
        fits.push_back(std::move(fit));
    }
    std::stable_sort(fits.begin(), fits.end(), [](const CrookFit& a, const CrookFit& b) {
        return a.cost < b.cost;
    });
    return fits;
}

} // namespace bellhand::part
