#include "desk/model/verdict.h"

#include "words/verdict.h"

#include <algorithm>

namespace bellhand::desk {

namespace {

using drill::Fault;

bool has(const drill::Judgement& judgement, Fault fault) {
    return std::find(judgement.faults.begin(), judgement.faults.end(), fault) !=
           judgement.faults.end();
}

} // namespace

Verdict verdict_of(const drill::Judgement& judgement) {
    Verdict verdict;
    verdict.cents = judgement.held_cents;
    verdict.within_cents = judgement.note.pitch_known() ? 0.0 : judgement.note.known_within_cents;
    verdict.tolerance_cents = judgement.tolerance_cents;
    if (!judgement.played) {
        verdict.shape = Verdict::Shape::hollow;
        verdict.cents = 0.0;
        verdict.words.emplace_back(judgement.undecided() ? "not heard apart" : "not played");
        return verdict;
    }
    if (has(judgement, Fault::wrong_partial) || has(judgement, Fault::wrong_note)) {
        verdict.shape = Verdict::Shape::diamond;
        verdict.cents = std::clamp(judgement.held_cents, -100.0, 100.0);
    }
    for (const Fault fault : words::in_teachers_order(judgement.faults)) {
        verdict.words.push_back(words::short_fault(judgement, fault));
    }
    return verdict;
}

Verdict verdict_of(const homework::StepResult& step) {
    drill::Judgement judgement;
    judgement.played = step.played;
    judgement.extra = step.extra;
    judgement.note.written = step.heard;
    judgement.note.known_within_cents = step.known_within_cents;
    judgement.held_cents = step.held_cents;
    judgement.attack_cents = step.attack_cents;
    judgement.tolerance_cents = step.tolerance_cents;
    judgement.faults = step.faults;
    judgement.timing_s = step.timing_s;
    judgement.level_db = step.level_db;
    Verdict verdict = verdict_of(judgement);
    if (step.extra) {
        verdict.shape = Verdict::Shape::diamond;
        verdict.words.insert(verdict.words.begin(), "a note too many");
    }
    return verdict;
}

} // namespace bellhand::desk
