#include "desk/model/verdict.h"

#include "desk/model/phrases.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::desk {

namespace {

using drill::Fault;

/// What to put right first stands first.
constexpr std::array kOrder{
    Fault::missed,
    Fault::wrong_note,
    Fault::wrong_partial,
    Fault::wrong_hand,
    Fault::flat,
    Fault::sharp,
    Fault::attack_flat,
    Fault::attack_sharp,
    Fault::unsteady,
    Fault::early,
    Fault::late,
    Fault::too_short,
    Fault::too_long,
    Fault::too_loud,
    Fault::too_soft,
    Fault::uneven_colour,
    Fault::hairpin,
};

bool has(const drill::Judgement& judgement, Fault fault) {
    return std::find(judgement.faults.begin(), judgement.faults.end(), fault) !=
           judgement.faults.end();
}

} // namespace

std::string fault_words(const drill::Judgement& judgement, Fault fault) {
    switch (fault) {
    case Fault::missed:
        return "not played";
    case Fault::wrong_partial:
        return ordinal(judgement.note.partial) + " partial";
    case Fault::wrong_note:
        return horn::display_name(judgement.note.written) + " sounded";
    case Fault::wrong_hand:
        return std::string("hand ") +
               horn::hand_label(judgement.note.heard.estimate.position.degree);
    case Fault::flat:
    case Fault::sharp:
        return deviation_words(judgement.held_cents);
    case Fault::attack_flat:
        return "begins low";
    case Fault::attack_sharp:
        return "begins high";
    case Fault::too_loud:
        return "louder";
    case Fault::too_soft:
        return "softer";
    case Fault::uneven_colour:
        return "other colour";
    case Fault::unsteady:
        return "unsteady";
    case Fault::early:
        return "early";
    case Fault::late:
        return "late";
    case Fault::too_short:
        return "short";
    case Fault::too_long:
        return "long";
    case Fault::hairpin:
        return "no hairpin";
    default:
        return "not as asked";
    }
}

Verdict verdict_of(const drill::Judgement& judgement) {
    Verdict verdict;
    verdict.cents = judgement.held_cents;
    verdict.tolerance_cents = judgement.tolerance_cents;
    if (!judgement.played) {
        verdict.shape = Verdict::Shape::hollow;
        verdict.cents = 0.0;
        verdict.words.emplace_back("not played");
        return verdict;
    }
    if (has(judgement, Fault::wrong_partial) || has(judgement, Fault::wrong_note)) {
        verdict.shape = Verdict::Shape::diamond;
        verdict.cents = std::clamp(judgement.held_cents, -100.0, 100.0);
    }
    for (const Fault fault : kOrder) {
        if (has(judgement, fault)) {
            verdict.words.push_back(fault_words(judgement, fault));
        }
    }
    if (verdict.words.empty() && !judgement.good()) {
        verdict.words.push_back(fault_words(judgement, judgement.faults.front()));
    }
    return verdict;
}

Verdict verdict_of(const homework::StepResult& step) {
    drill::Judgement judgement;
    judgement.played = step.played;
    judgement.extra = step.extra;
    judgement.note.written = step.heard;
    judgement.held_cents = step.held_cents;
    judgement.attack_cents = step.attack_cents;
    judgement.tolerance_cents = step.tolerance_cents;
    judgement.faults = step.faults;
    // The file names the note that sounded, not its partial or the hand that was heard.
    std::replace(
        judgement.faults.begin(), judgement.faults.end(), Fault::wrong_partial, Fault::wrong_note);
    const bool hand = has(judgement, Fault::wrong_hand);
    std::erase(judgement.faults, Fault::wrong_hand);
    Verdict verdict = verdict_of(judgement);
    if (hand) {
        verdict.words.insert(verdict.words.begin(), drill::fault_label(Fault::wrong_hand));
    }
    if (step.extra) {
        verdict.shape = Verdict::Shape::diamond;
        verdict.words.insert(verdict.words.begin(), "a note too many");
    }
    return verdict;
}

} // namespace bellhand::desk
