#include "run/part_run.h"

#include <algorithm>

namespace bellhand::run {

namespace {

std::string bar_of(const drill::Exercise& exercise, std::uint32_t step) {
    return exercise.steps[step].in_part->number;
}

const drill::Asked* next_of(const State& state) {
    const auto next = std::find_if(state.asked->begin(), state.asked->end(), [&](const auto& one) {
        return one.step == state.where.next;
    });
    return next == state.asked->end() ? nullptr : &*next;
}

std::string note_of(const drill::Asked& asked) {
    return horn::display_name(asked.written) + " " + horn::hand_label(asked.hand);
}

/// "Rest, bar 3 of 12. " and, in the last of them, the entry.
std::string rest_words(const State& state, const drill::Asked& next) {
    const drill::Where& where = state.where;
    const std::string bar = bar_of(state.now->exercise, where.next);
    if (where.rest_bar >= where.rest_bars) {
        return "Next bar, " + bar + ": " + note_of(next) + ".";
    }
    return "Rest, bar " + std::to_string(where.rest_bar) + " of " +
           std::to_string(where.rest_bars) + "; then " + note_of(next) + " in bar " + bar + ".";
}

} // namespace

bool is_part(const drill::Exercise& exercise) noexcept {
    return !exercise.steps.empty() && exercise.steps.front().in_part.has_value();
}

bool one_tempo(const drill::Exercise& exercise) noexcept {
    return std::all_of(exercise.steps.begin(), exercise.steps.end(), [&](const auto& step) {
        return !step.in_part ||
               (step.in_part->quarters_per_minute == exercise.quarters_per_minute &&
                step.in_part->metre == exercise.metre && !step.in_part->fermata);
    });
}

std::string place_in_part(const State& state) {
    const drill::Exercise& exercise = state.now->exercise;
    const drill::Where& where = state.where;
    const drill::Asked* const next = next_of(state);
    if (next == nullptr) {
        return {};
    }
    const std::string bar = bar_of(exercise, where.next);
    switch (where.phase) {
    case drill::Phase::new_crook: {
        const std::string crook = std::string("Now the ") + next->crook.label + " crook. ";
        return where.rest_bars > 0 ? crook + rest_words(state, *next)
                                   : crook + "Then " + note_of(*next) + " in bar " + bar + ".";
    }
    case drill::Phase::stopped:
        return "Waiting for you: go on with " + note_of(*next) + " in bar " + bar +
               ", or from any bar.";
    default:
        break;
    }
    if (where.rest_bars > 0) {
        return rest_words(state, *next);
    }
    if (where.or_step && !(bar_of(exercise, *where.or_step) == bar_of(exercise, where.step))) {
        return "Bar " + bar_of(exercise, where.step) + ", or bar " +
               bar_of(exercise, *where.or_step) + ": which, the next notes will tell.";
    }
    return "Bar " + bar_of(exercise, where.sounding ? where.step : where.next) +
           ". Next: " + note_of(*next) + ".";
}

} // namespace bellhand::run
