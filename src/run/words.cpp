#include "run/words.h"

#include "run/part_run.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace bellhand::run {

namespace {

/// The note that is asked next.
std::string next_note_of(const State& state) {
    if (state.asked == nullptr || state.asked->empty()) {
        return {};
    }
    const auto next = std::find_if(state.asked->begin(), state.asked->end(), [&](const auto& one) {
        return one.step == state.where.next;
    });
    const drill::Asked& asked = next == state.asked->end() ? state.asked->front() : *next;
    return horn::display_name(asked.written) + " " + horn::hand_label(asked.hand);
}

std::string in_a_block(const State& state) {
    if (state.now != nullptr && is_part(state.now->exercise)) {
        return place_in_part(state);
    }
    const std::string note = next_note_of(state);
    const std::string again = "Once more what went wrong: " + note + ".";
    switch (state.where.phase) {
    case drill::Phase::new_crook:
        return std::string("Put on the ") + state.where.tuning.crook.label +
               " crook, then go on with " + note + ".";
    case drill::Phase::stopped:
        return state.where.repeating_missed
                   ? again
                   : "Waiting for you: go on with " + note + ", or from any bar.";
    case drill::Phase::resting:
        return state.where.repeating_missed ? again : "Next: " + note + ".";
    default:
        return "Next: " + note + ".";
    }
}

std::string in_a_rest(const State& state) {
    const long left = std::lround(std::ceil(state.rest_left_s));
    std::string text = "Rest for " + std::to_string(left) + (left == 1 ? " second" : " seconds");
    if (state.then != nullptr) {
        text += "; then " + state.then->exercise.title;
        if (state.now != nullptr && !(state.now->crook == state.then->crook)) {
            text += std::string(", on the ") + state.then->crook.label + " crook";
        }
    }
    return text + ".";
}

/// The note that a fault was most often found on.
std::string worst_note(const skill::PlannedBlock& block,
                       const std::vector<drill::Judgement>& judgements,
                       drill::Fault fault) {
    std::map<std::string, int> counts;
    for (const drill::Judgement& judgement : judgements) {
        const bool has = std::find(judgement.faults.begin(), judgement.faults.end(), fault) !=
                         judgement.faults.end();
        if (has && judgement.step < block.exercise.steps.size() &&
            block.exercise.steps[judgement.step].written) {
            ++counts[horn::display_name(*block.exercise.steps[judgement.step].written)];
        }
    }
    const auto worst =
        std::max_element(counts.begin(), counts.end(), [](const auto& a, const auto& b) {
            return a.second < b.second;
        });
    return worst == counts.end() ? std::string() : worst->first;
}

} // namespace

std::string prompt_for(const State& state, const horn::Tuning& tuning) {
    switch (state.stage) {
    case Stage::ready:
        return std::string("On the ") + tuning.crook.label + " crook: begin when you like, with " +
               next_note_of(state) + ".";
    case Stage::playing:
        return in_a_block(state);
    case Stage::paused:
        return "Paused; the same key goes on.";
    case Stage::rest:
        return in_a_rest(state);
    case Stage::finished:
        break;
    }
    return "Done for today. Rest now as long as you played.";
}

BlockSummary summary_of(const skill::PlannedBlock& block,
                        const std::vector<drill::Judgement>& judgements,
                        double played_s) {
    BlockSummary summary;
    summary.title = block.exercise.title;
    summary.crook = block.crook.label;
    summary.played_s = played_s;
    std::map<drill::Fault, int> counts;
    for (const drill::Judgement& judgement : judgements) {
        if (judgement.extra || judgement.undecided()) {
            continue;
        }
        ++summary.judged;
        summary.good += judgement.good() ? 1 : 0;
        for (const drill::Fault fault : judgement.faults) {
            ++counts[fault];
        }
    }
    for (const auto& [fault, count] : counts) {
        summary.faults.push_back({fault, count});
    }
    std::stable_sort(summary.faults.begin(),
                     summary.faults.end(),
                     [](const FaultCount& a, const FaultCount& b) { return a.count > b.count; });
    summary.text = words::right_of(summary.good, summary.judged);
    if (!summary.faults.empty()) {
        const drill::Fault most = summary.faults.front().fault;
        summary.text += std::string("; most often: ") + words::fault_kind(most) + ", on " +
                        worst_note(block, judgements, most);
    }
    return summary;
}

} // namespace bellhand::run
