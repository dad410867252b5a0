// The keys of the window: what they do on every page that leaves them to it.
#include "desk/desk.h"

namespace bellhand::desk {

KeyTable Desk::window_keys() {
    const auto turn = [this](int step) {
        show(static_cast<Screen>((static_cast<int>(screen_) + step + kTurnedOver) % kTurnedOver));
    };
    const auto opens = [this](Sheet sheet) { return [this, sheet] { open(sheet); }; };
    const auto pitch = [this](double step_hz) {
        return [this, step_hz] { choose(a4_moved(session_.tuning(), step_hz)); };
    };
    const auto scale = [this](double factor) { return [this, factor] { change_scale(factor); }; };
    constexpr double kLarger = 1.1;

    KeyLine digits = on('1', "straight to a page", [] {});
    for (int i = 1; i < kTurnedOver; ++i) {
        digits = digits.or_key(digit_of(static_cast<Screen>(i)));
    }
    digits.cap = "1 to 0";
    digits.act = [this](const Press& press) {
        for (int i = 0; i < kTurnedOver; ++i) {
            const auto screen = static_cast<Screen>(i);
            if (press.character == static_cast<char32_t>(digit_of(screen))) {
                show(screen);
            }
        }
    };
    KeyLine larger = on_control('+', "larger type", scale(kLarger));
    larger.keys.push_back(larger.keys.front());
    larger.keys.back().character = U'=';
    KeyLine sharper = on('+', "pitch up by one hertz", pitch(1.0)).or_key('=');
    KeyLine flatter = on('-', "pitch down by one hertz", pitch(-1.0));
    sharper.held = flatter.held = true;

    KeyTable table{
        on(' ',
           session_.listening() ? "end session" : "begin session",
           [this] { session_.toggle(); }),
        on(Key::f1, "help", [this] { sheet_ == Sheet::help ? close_sheet() : open(Sheet::help); })
            .at(Where::everywhere),
        on('d', "light or dark", [this] { preferences_.dark = !preferences_.dark; })
            .at(Where::all_pages)
            .at(Foot::spare),
        on(Key::page_down, "next page", [turn] { turn(1); }).at(Foot::spare),
        on(Key::page_up, "the page before", [turn] { turn(-1); }).at(Foot::never),
        digits.at(Foot::never),
        on('c', "crook", opens(Sheet::crook)).at(Foot::never),
        on('a', "pitch of the day", opens(Sheet::pitch)).at(Foot::never),
        on('t', "temperament", opens(Sheet::temperament)).at(Foot::never),
        on('i', "input: microphone, file, demo player", opens(Sheet::input)).at(Foot::never),
        on('o', "sound: drone, reference note, metronome", opens(Sheet::sound)).at(Foot::never),
        on('e', "all exercises, to play one by itself", opens(Sheet::exercises)).at(Foot::never),
        on('j', "how strictly pitch is judged", [this] { session_.judge_more_kindly(); })
            .at(Foot::never),
        on('k', "keep the last two minutes as a take", [this] { session_.keep_that(); })
            .at(Foot::never),
        sharper.at(Foot::never),
        flatter.at(Foot::never),
        on('v', "version and licences", opens(Sheet::about)).at(Foot::never),
        larger,
        on_control('-', "smaller type", scale(1.0 / kLarger)),
        on_control('0', "type as it was", [this] { preferences_.type_scale = 1.0; }),
        on(Key::f11, "whole screen", [this] { full_screen_ = !full_screen_; }),
        on_control('m', "the part to play from", [this] { show(Screen::part); }),
        on_control('o', "open a file", opens(Sheet::files)),
        on_control('f', "the folder of saved files", [this] { folder_to_show_ = saved_files_; }),
        on_control('q', "leave Bellhand", [this] { quit_ = true; })};
    if (const auto offer = session_.view().horn_remark().offer; offer && !session_.run()) {
        table.push_back(on('g', "take the horn or pitch that fits the notes better", [this, offer] {
                            choose(*offer);
                        }).at(Foot::spare));
    }
    if (screen_ != Screen::lesson) {
        table.push_back(on('l', "lesson", [this] { show(Screen::lesson); }).at(Foot::spare));
    }
    if (screen_ != Screen::practice) {
        table.push_back(on(Key::escape, "back to practice", [this] {
                            show(Screen::practice);
                        }).at(Foot::spare));
    }
    for (KeyLine& line : table) {
        if (line.where == Where::page) {
            line.where = Where::window;
        }
        if (line.keys.front().control || line.keys.front().key == Key::f11) {
            line.where = Where::everywhere;
            line.foot = Foot::never;
        }
    }
    return table;
}

} // namespace bellhand::desk
