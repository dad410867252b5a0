#include "run/run_inside.h"
#include "run/words.h"

#include <algorithm>

namespace bellhand::practice {

namespace {

constexpr double kBackToBefore_s = 5.0; // `back` within this time means the block before

constexpr double kLongestKept_s = 120.0;

} // namespace

void Lesson::Inside::restart(std::size_t at) {
    if (state.stage == LessonStage::playing) {
        runner->finish();
        take_judgements(false);
        save_block();
        end_take();
        ++record.number;
    }
    state.block = at;
    pass = 0;
    set_up_block();
}

void Lesson::Inside::press(LessonKey key) {
    switch (key) {
    case LessonKey::next:
        press_next();
        break;
    case LessonKey::back:
        press_back();
        break;
    case LessonKey::repeat:
        press_repeat();
        break;
    case LessonKey::pause:
        press_pause();
        break;
    case LessonKey::keep:
        press_keep();
        break;
    }
    state.prompt = prompt_for(state, tuning);
}

void Lesson::Inside::press_next() {
    if (state.stage == LessonStage::playing) {
        end_block(false);
        look_at_plan();
    } else if (state.stage == LessonStage::rest) {
        leave_rest(state.block + 1);
    } else if (state.stage == LessonStage::ready && state.block + 1 < blocks.size()) {
        restart(state.block + 1);
    }
}

void Lesson::Inside::press_back() {
    const std::size_t before = state.block > 0 ? state.block - 1 : 0;
    if (state.stage == LessonStage::playing) {
        restart(played_s < kBackToBefore_s ? before : state.block);
    } else if (state.stage == LessonStage::rest) {
        leave_rest(state.block);
    } else if (state.stage == LessonStage::ready) {
        restart(before);
    }
}

void Lesson::Inside::press_repeat() {
    if (state.stage == LessonStage::rest) {
        leave_rest(state.block);
    } else if (listening()) {
        restart(state.block);
    }
}

void Lesson::Inside::press_pause() {
    if (state.stage == LessonStage::paused) {
        state.stage = before_pause;
        listen_from_s = now_s;
        if (listening()) {
            set_sound();
        }
    } else if (state.stage != LessonStage::finished) {
        before_pause = state.stage;
        state.stage = LessonStage::paused;
        silence();
    }
}

/// What was just played: this block, as far as the memory reaches.
void Lesson::Inside::press_keep() {
    ++state.kept;
    const double from_s = state.stage == LessonStage::ready ? 0.0 : record.start_s;
    TakeWish wish;
    wish.kind = TakeWish::Kind::keep;
    wish.from_s = std::max({0.0, from_s, now_s - kLongestKept_s});
    wish.to_s = now_s;
    wish.block = record.number;
    wish.why = "keep that";
    wish.kept = true;
    takes.push_back(std::move(wish));
}

void Lesson::Inside::look_at_plan() {
    state.now = state.stage == LessonStage::finished ? nullptr : &block();
    state.then = state.block + 1 < blocks.size() ? &blocks[state.block + 1] : nullptr;
    state.lesson_left_s = left_s();
}

void Lesson::Inside::finish() {
    if (state.stage == LessonStage::paused) {
        state.stage = before_pause;
    }
    if (state.stage == LessonStage::playing) {
        end_block(false);
    } else if (state.stage == LessonStage::rest) {
        save_block();
    }
    state.stage = LessonStage::finished;
    silence();
    look_at_plan();
    state.prompt = prompt_for(state, tuning);
}

} // namespace bellhand::practice
