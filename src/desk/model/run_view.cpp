#include "desk/model/run_view.h"

#include "desk/model/exercise_page.h"
#include "desk/model/phrases.h"
#include "drill/judge.h"
#include "report/text.h"
#include "run/part_run.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

namespace {

RunStage stage_of(const run::State& state) {
    switch (state.stage) {
    case run::Stage::ready:
        break;
    case run::Stage::paused:
        return RunStage::paused;
    case run::Stage::rest:
        return RunStage::rest;
    case run::Stage::finished:
        return RunStage::done;
    default:
        break;
    }
    switch (state.where.phase) {
    case drill::Phase::count_in:
        return RunStage::count_in;
    case drill::Phase::new_crook:
        return RunStage::new_crook;
    case drill::Phase::stopped:
        return RunStage::silent;
    case drill::Phase::waiting:
        return RunStage::waiting;
    default:
        return RunStage::playing;
    }
}

} // namespace

void refresh(RunView& view, const run::State& state, const horn::Tuning& tuning) {
    const bool rested_before = view.stage == RunStage::rest;
    view.stage = stage_of(state);
    view.tuning = tuning;
    if (state.now != nullptr) {
        if (view.exercise.id != state.now->exercise.id ||
            view.exercise.steps.size() != state.now->exercise.steps.size() ||
            view.block != static_cast<int>(state.block)) {
            view.exercise = state.now->exercise;
        }
        view.why = state.now->why;
    }
    view.step = state.where.step;
    view.next = state.where.next;
    view.begun = state.where.judged > 0 || (state.stage == run::Stage::playing &&
                                            state.where.phase != drill::Phase::waiting &&
                                            state.where.phase != drill::Phase::count_in);
    view.sounding = state.where.sounding && state.stage == run::Stage::playing;
    view.pass = static_cast<int>(state.where.pass);
    view.passes = static_cast<int>(state.where.passes);
    view.repeating_missed = state.where.repeating_missed;
    view.beats_to_go = state.where.beats_to_go;
    view.judged = static_cast<int>(state.where.judged);
    view.good = static_cast<int>(state.where.good);
    view.verdicts.assign(view.exercise.steps.size(), std::nullopt);
    for (std::size_t i = 0; i < std::min(state.marks.size(), view.verdicts.size()); ++i) {
        if (const auto& mark = state.marks[i];
            mark && !mark->judgement.extra && mark->judgement.pass == state.where.pass) {
            view.verdicts[i] = verdict_of(mark->judgement);
        }
    }
    view.last_judged.reset();
    if (state.feedback && state.feedback->judgement.step < view.verdicts.size() &&
        !state.feedback->judgement.extra) {
        view.last_judged = state.feedback->judgement.step;
        view.newest = verdict_of(state.feedback->judgement);
        view.told = state.feedback->text;
    }
    const bool in_part = state.now != nullptr && run::is_part(state.now->exercise);
    view.bar =
        in_part ? state.now->exercise.steps[view.sounding ? view.step : view.next].in_part->number
                : std::string();
    view.rest_bars = state.where.rest_bars;
    view.rest_bar = state.where.rest_bar;
    view.place = in_part && state.stage == run::Stage::playing ? state.prompt : std::string();
    view.remark = state.remarks.empty() ? std::string() : state.remarks.back();
    view.block = static_cast<int>(state.block);
    view.blocks = static_cast<int>(state.blocks);
    view.left_s = state.block_left_s;
    view.rest_left_s = state.rest_left_s;
    if (view.stage == RunStage::rest) {
        view.rest_s = rested_before ? std::max(view.rest_s, view.rest_left_s) : view.rest_left_s;
    }
    view.played_s = state.played_s;
    view.rested_s = state.rested_s;
    view.next_title = state.then != nullptr ? state.then->exercise.title : std::string();
    view.next_crook.clear();
    if (state.then != nullptr && state.now != nullptr && !(state.then->crook == state.now->crook)) {
        view.next_crook = state.then->crook.label;
    }
    view.summaries = state.summaries;
    view.kept = state.kept;
}

bool tells_of_motion(const drill::Judgement& judgement, const drill::Step& asked) {
    constexpr double kHeld_s = 1.5;
    return judgement.played && !drill::is_wrong(judgement) &&
           asked.manner == drill::Manner::plain && judgement.note.duration_s >= kHeld_s;
}

bool hand_changes(const RunView& view) {
    for (std::uint32_t before = view.next; before-- > 0;) {
        const drill::Step& step = view.exercise.steps[before];
        if (step.written) {
            return step_hand_signs(step) != step_hand_signs(view.exercise.steps[view.next]);
        }
    }
    return true; // the first note: the hand is still to be placed
}

RunMarks run_marks(const RunView& view) {
    RunMarks marks;
    const std::uint32_t step = view.sounding ? view.step : view.next;
    const auto block = static_cast<std::size_t>(view.block);
    if (!view.part || block >= view.part->attack_of.size() ||
        step >= view.part->attack_of[block].size()) {
        marks.place = step;
        marks.verdicts = view.verdicts;
        marks.past = view.begun ? step : 0;
        return marks;
    }
    const std::vector<std::size_t>& attack_of = view.part->attack_of[block];
    const auto note_of = [&](std::size_t at) { return static_cast<std::uint32_t>(attack_of[at]); };
    marks.place = note_of(step);
    marks.past = view.begun ? marks.place : 0;
    // Of a note that is played more than once in a time through, the newest counts.
    for (std::size_t i = 0; i < std::min(view.verdicts.size(), attack_of.size()); ++i) {
        if (view.verdicts[i] && view.exercise.steps[i].written) {
            marks.verdicts.resize(std::max<std::size_t>(marks.verdicts.size(), attack_of[i] + 1));
            marks.verdicts[note_of(i)] = view.verdicts[i];
        }
    }
    const engraving::Score& page = view.part->printed.score;
    const auto event =
        std::find_if(page.events.begin(), page.events.end(), [&](const engraving::Event& one) {
            return one.step == marks.place;
        });
    if (event != page.events.end()) {
        marks.bar = event->bar;
        const bool counted =
            marks.bar > 0 && page.bars[static_cast<std::size_t>(marks.bar) - 1].rests > 0;
        marks.bar -= view.rest_bars > 0 && counted ? 1 : 0;
    }
    return marks;
}

RunWords run_words(const RunView& view) {
    switch (view.stage) {
    case RunStage::waiting:
        return {"Starts when you play", view.why};
    case RunStage::count_in:
        return {std::to_string(view.beats_to_go), "count-in"};
    case RunStage::silent:
        return {"Go on anywhere", "The next note is followed, wherever it stands."};
    case RunStage::new_crook:
        return {std::string("Put on the ") + view.tuning.crook.label + " crook",
                view.place.empty() ? "Goes on with your first note." : view.place};
    case RunStage::rest:
        return {report::clock_text(std::ceil(view.rest_left_s)), "Rest as long as you play."};
    case RunStage::paused:
        return {"Paused", "Space goes on."};
    case RunStage::done:
        return {"Done for today", "Clean out the horn, and let lips and hand rest."};
    default:
        break;
    }
    if (view.rest_bars > 0) {
        return {std::to_string(view.rest_bar) + " of " + std::to_string(view.rest_bars),
                view.place};
    }
    if (view.bar.empty()) {
        return {};
    }
    const std::string large = "Bar " + view.bar;
    const std::string twice = large + ". ";
    const bool said = view.place.rfind(twice, 0) == 0;
    return {large, said ? view.place.substr(twice.size()) : view.place};
}

std::string run_conditions(const RunView& view) {
    std::string words = std::string("Horn in ") + view.tuning.crook.label +
                        "  ·  A = " + hertz_text(view.tuning.a4_hz) + "  ·  ";
    if (view.exercise.quarters_per_minute > 0.0) {
        words += hertz_text(view.exercise.quarters_per_minute) + " quarters a minute";
    } else {
        words += "free tempo";
    }
    if (view.repeating_missed) {
        words += "  ·  once more: what was missed";
    } else if (view.passes > 1) {
        words += "  ·  " + words::ordinal(view.pass + 1) + " of " + std::to_string(view.passes) +
                 " times";
    }
    return words;
}

std::string run_score(const RunView& view) {
    return view.judged > 0 ? words::right_of(view.good, view.judged) + " so far" : std::string();
}

} // namespace bellhand::desk
