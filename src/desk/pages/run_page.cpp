#include "desk/pages/run_page.h"

#include "words/hand.h"

#include <string>
#include <utility>

namespace bellhand::desk {

void RunPage::begin(const char* back_to, std::shared_ptr<const PlayedPart> part) {
    view_ = {};
    view_.part = std::move(part);
    back_to_ = back_to;
    follow();
}

void RunPage::follow() {
    if (const run::Run* run = session_.run()) {
        desk::refresh(view_, run->state(), run->tuning());
        view_.player = session_.about_player();
        const auto& newest = run->state().feedback;
        const bool held =
            view_.last_judged &&
            tells_of_motion(newest->judgement, view_.exercise.steps[*view_.last_judged]);
        view_.moved = held ? words::motion_words(session_.view().motion_of(newest->judgement.note))
                           : std::string();
    }
}

bool RunPage::over() const noexcept {
    return session_.run() == nullptr || session_.run()->state().stage == run::Stage::finished;
}

void RunPage::tell(run::Key key) {
    session_.run()->press(key);
    if (key == run::Key::keep) {
        session_.was_kept();
    }
}

KeyTable RunPage::keys() {
    const Act end = [this] { wishes_.end_run = true; };
    if (over()) {
        return {on(' ', std::string("back to ") + back_to_, end)
                    .or_key(Key::enter)
                    .or_key(Key::page_down)
                    .or_key(Key::escape)
                    .at(Foot::always)};
    }
    const run::State& state = session_.run()->state();
    const bool paused = state.stage == run::Stage::paused;
    const bool rest = state.stage == run::Stage::rest;
    const bool begun = rest || state.stage == run::Stage::playing;
    KeyTable table{
        on(' ', paused ? "go on" : "pause", [this] { tell(run::Key::pause); }).or_key(Key::enter)};
    if (begun || (!paused && state.then != nullptr)) {
        table.push_back(on(Key::page_down, rest ? "end the rest" : "next", [this] {
                            tell(run::Key::next);
                        }).or_key(Key::right));
    }
    if (begun || (!paused && state.block > 0)) {
        table.push_back(
            on(Key::page_up, "back", [this] { tell(run::Key::back); }).or_key(Key::left));
    }
    if (begun) {
        table.push_back(on('r', "again from the beginning", [this] { tell(run::Key::repeat); })
                            .or_key(Key::up)
                            .at(Foot::spare));
    }
    if (state.headphones_asked) {
        table.push_back(on('y', "it is the headphones", [this] { tell(run::Key::headphones); }));
    }
    table.push_back(on('k', view_.kept > 0 ? "kept; keep again" : "keep that", [this] {
                        tell(run::Key::keep);
                    }).or_key(Key::down));
    table.push_back(on(Key::escape, "end", end).at(Foot::always));
    return table;
}

} // namespace bellhand::desk
