#include "run/run_inside.h"
#include "run/words.h"

#include <algorithm>

namespace bellhand::run {

namespace {

constexpr double kBackToBefore_s = 5.0; // `back` within this time means the block before

constexpr double kLongestKept_s = 120.0;

} // namespace

void Run::Inside::restart(std::size_t at) {
    if (state.stage == Stage::playing) {
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

void Run::Inside::press(Key key) {
    switch (key) {
    case Key::next:
        press_next();
        break;
    case Key::back:
        press_back();
        break;
    case Key::repeat:
        press_repeat();
        break;
    case Key::pause:
        press_pause();
        break;
    case Key::keep:
        press_keep();
        break;
    case Key::headphones:
        press_headphones();
        break;
    }
    state.prompt = prompt_for(state, tuning);
}

void Run::Inside::press_next() {
    if (state.stage == Stage::playing) {
        end_block(false);
        look_at_plan();
    } else if (state.stage == Stage::rest) {
        leave_rest(state.block + 1);
    } else if (state.stage == Stage::ready && state.block + 1 < blocks.size()) {
        restart(state.block + 1);
    }
}

void Run::Inside::press_back() {
    const std::size_t before = state.block > 0 ? state.block - 1 : 0;
    if (state.stage == Stage::playing) {
        restart(played_s < kBackToBefore_s ? before : state.block);
    } else if (state.stage == Stage::rest) {
        leave_rest(state.block);
    } else if (state.stage == Stage::ready) {
        restart(before);
    }
}

void Run::Inside::press_repeat() {
    if (state.stage == Stage::rest) {
        leave_rest(state.block);
    } else if (listening()) {
        restart(state.block);
    }
}

void Run::Inside::press_pause() {
    if (state.stage == Stage::paused) {
        state.stage = before_pause;
        listen_from_s = now_s;
        if (listening()) {
            set_sound();
        }
    } else if (state.stage != Stage::finished) {
        before_pause = state.stage;
        state.stage = Stage::paused;
        silence();
    }
}

/// What was just played: this block, as far as the memory reaches.
void Run::Inside::press_keep() {
    ++state.kept;
    const double from_s = state.stage == Stage::ready ? 0.0 : record.start_s;
    TakeWish wish;
    wish.kind = TakeWish::Kind::keep;
    wish.from_s = std::max({0.0, from_s, now_s - kLongestKept_s});
    wish.to_s = now_s;
    wish.block = record.number;
    wish.why = "keep that";
    wish.kept = true;
    takes.push_back(std::move(wish));
}

void Run::Inside::press_headphones() {
    state.headphones_asked = false;
    options.click_delay_s += std::exchange(behind_click_s, 0.0);
    runner->set_click_delay(options.click_delay_s);
}

void Run::Inside::look_at_plan() {
    state.now = state.stage == Stage::finished ? nullptr : &block();
    state.then = state.block + 1 < blocks.size() ? &blocks[state.block + 1] : nullptr;
    state.all_left_s = left_s();
}

void Run::Inside::finish() {
    if (state.stage == Stage::paused) {
        state.stage = before_pause;
    }
    if (state.stage == Stage::playing) {
        end_block(false);
    } else if (state.stage == Stage::rest) {
        save_block();
    }
    state.stage = Stage::finished;
    silence();
    look_at_plan();
    state.prompt = prompt_for(state, tuning);
}

} // namespace bellhand::run
