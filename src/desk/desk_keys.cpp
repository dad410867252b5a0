// What each key does on the desk.
#include "desk/desk.h"
#include "desk/pages/key_hint.h"
#include "desk/typing.h"

#include <algorithm>

namespace bellhand::desk {

namespace {

constexpr double kCoarse_hz = 1.0;
constexpr double kFine_hz = 0.1;
constexpr double kScaleStep = 1.1;
constexpr double kHoldStep_s = 0.5;

bool is_hand_key(const Press& press) {
    return press.key == Key::up || press.key == Key::down || press.key == Key::home ||
           is_letter(press, 'e') || is_letter(press, 'f');
}

bool is_closing_key(const Press& press) {
    return press.key == Key::up || press.key == Key::down || is_letter(press, 'e');
}

} // namespace

void Desk::press(const Press& press) {
    if (press_anywhere(press)) {
        return;
    }
    if (sheet_ == Sheet::none) {
        press_on_screen(press);
    } else {
        press_on_sheet(press);
    }
}

bool Desk::press_anywhere(const Press& press) {
    if (press.control) {
        if (press.character == U'+' || press.character == U'=') {
            change_scale(kScaleStep);
        } else if (press.character == U'-') {
            change_scale(1.0 / kScaleStep);
        } else if (press.character == U'0') {
            preferences_.type_scale = 1.0;
        } else if (is_letter(press, 'q')) {
            quit_ = true;
        }
        return true;
    }
    if (press.key == Key::f1) {
        sheet_ == Sheet::help ? close_sheet() : open(Sheet::help);
        return true;
    }
    if (press.key == Key::f11) {
        full_screen_ = !full_screen_;
        return true;
    }
    return false;
}

void Desk::press_on_screen(const Press& press) {
    const bool steps = press.character == U'+' || press.character == U'=' ||
                       press.character == U'-' || press.key == Key::up || press.key == Key::down ||
                       press.key == Key::left || press.key == Key::right;
    if (press.repeated && !steps && !workbook_.writing(screen_)) {
        return;
    }
    if (workbook_.press(screen_, press, tuning_)) {
        follow_workbook();
    } else if (press.character == U' ') {
        toggle_session();
    } else if (is_letter(press, 'l')) {
        show(screen_ == Screen::large ? Screen::practice : Screen::large);
    } else if (press.key == Key::page_down || press.key == Key::page_up) {
        show(next_screen(press.key == Key::page_down ? 1 : -1));
    } else if (press.key == Key::escape) {
        show(Screen::practice);
    } else if (press.character >= U'0' && press.character <= U'9') {
        for (int i = 0; i < static_cast<int>(Screen::count); ++i) {
            const auto screen = static_cast<Screen>(i);
            if (press.character == static_cast<char32_t>(digit_of(screen))) {
                show(screen);
            }
        }
    } else if (screen_ == Screen::chart && (press.key == Key::left || press.key == Key::right)) {
        const int step = press.key == Key::left ? -1 : 1;
        chart_choice_ = std::clamp(chart_choice_ + step, 0, static_cast<int>(chart_.size()) - 1);
    } else if (screen_ == Screen::bench) {
        press_on_bench(press);
    } else if (screen_ == Screen::hand && is_hand_key(press)) {
        press_on_hand(press);
    } else if (screen_ == Screen::closing && is_closing_key(press)) {
        press_on_closing(press);
    } else if (screen_ == Screen::large && (press.key == Key::up || press.key == Key::down)) {
        change_hold(press.key == Key::up ? kHoldStep_s : -kHoldStep_s);
    } else if (press.character == U'+' || press.character == U'=') {
        change_a4(kCoarse_hz);
    } else if (press.character == U'-') {
        change_a4(-kCoarse_hz);
    } else if (is_letter(press, 'i')) {
        open(Sheet::input);
    } else if (is_letter(press, 'c')) {
        open(Sheet::crook);
    } else if (is_letter(press, 'a')) {
        open(Sheet::pitch);
    } else if (is_letter(press, 't')) {
        open(Sheet::temperament);
    } else if (is_letter(press, 'k')) {
        keep_that();
    } else if (is_letter(press, 'e')) {
        open(Sheet::exercises);
    } else if (is_letter(press, 'j')) {
        judge_more_kindly();
    } else if (is_letter(press, 's')) {
        open(Sheet::sound);
    } else if (is_letter(press, 'h') || press.character == U'?') {
        open(Sheet::help);
    } else if (is_letter(press, 'v')) {
        open(Sheet::about);
    } else if (is_letter(press, 'd')) {
        change_paper();
    }
}

void Desk::press_on_bench(const Press& press) {
    if (!bench_) {
        return;
    }
    switch (press.key) {
    case Key::up:
        bench_->choose(bench_->chosen() - 1);
        break;
    case Key::down:
        bench_->choose(bench_->chosen() + 1);
        break;
    case Key::enter:
        bench_->toggle_chosen();
        break;
    case Key::left:
        bench_->take_way(std::max(0, bench_->way() - 1));
        break;
    case Key::right:
        bench_->take_way(bench_->way() + 1);
        break;
    default:
        break;
    }
}

void Desk::press_on_hand(const Press& press) {
    if (press.key == Key::up || press.key == Key::down) {
        step_note(press.key == Key::up ? -1 : 1);
    } else if (press.key == Key::home) {
        chosen_note_.reset();
    } else if (is_letter(press, 'e')) {
        open(Sheet::figures);
    } else {
        forget_learnt();
    }
}

void Desk::press_on_closing(const Press& press) {
    if (press.key == Key::up || press.key == Key::down) {
        view_.closing().set_pace(view_.closing().pace_s() + (press.key == Key::up ? 1.0 : -1.0));
    } else {
        export_closing();
    }
}

void Desk::press_on_sheet(const Press& press) {
    const int rows = rows_of_sheet();
    if (sheet_ == Sheet::sound && press.key != Key::escape && press.key != Key::up &&
        press.key != Key::down && press.key != Key::enter) {
        press_on_sound(press);
        return;
    }
    switch (press.key) {
    case Key::escape:
        close_sheet();
        return;
    case Key::enter:
        accept();
        return;
    case Key::up:
        sheet_ == Sheet::pitch ? change_a4(kCoarse_hz) : select(std::max(0, selected_ - 1));
        return;
    case Key::down:
        sheet_ == Sheet::pitch ? change_a4(-kCoarse_hz)
                               : select(std::max(0, std::min(rows - 1, selected_ + 1)));
        return;
    case Key::left:
    case Key::right: {
        const int step = press.key == Key::left ? -1 : 1;
        if (sheet_ == Sheet::pitch) {
            change_a4(step * kFine_hz);
        } else if (sheet_ == Sheet::input) {
            change_channel(step);
        }
        return;
    }
    case Key::tab:
        if (sheet_ == Sheet::pitch) {
            next_often_used_pitch();
            return;
        }
        break;
    case Key::home:
        select(0);
        return;
    case Key::end:
        select(std::max(0, rows - 1));
        return;
    default:
        break;
    }
    if (sheet_ == Sheet::input || sheet_ == Sheet::pitch) {
        type(press);
    } else if (press.character == U' ' || is_letter(press, 'h')) {
        sheet_ == Sheet::help || sheet_ == Sheet::about || sheet_ == Sheet::figures ? close_sheet()
                                                                                    : accept();
    }
}

void Desk::press_on_sound(const Press& press) {
    if (press.repeated && press.key == Key::none) {
        return; // a pedal that is kept pressed must not switch to and fro
    }
    if (sound_.press(press, static_cast<SoundDesk::Row>(selected_), wall_s_)) {
        if (sound_.take_output_change() && practice_) {
            begin(); // another output belongs to another session
        }
        sound_now();
    }
}

void Desk::type(const Press& press) {
    if (sheet_ == Sheet::input) {
        const bool on_file =
            selected_ < static_cast<int>(input_rows_.size()) &&
            input_rows_[static_cast<std::size_t>(selected_)].kind == InputRow::Kind::file;
        if (!on_file) {
            if (press.character == U'/' || press.character == U'~' || press.character == U'.') {
                select(static_cast<int>(input_rows_.size()) - 1); // a path begins
            } else {
                if (press.character == U' ') {
                    accept();
                } else if (is_letter(press, 'r')) {
                    look_for_devices();
                }
                return;
            }
        }
        if (press.key == Key::tab) {
            typed_ = completed_path(typed_);
            return;
        }
    }
    if (press.key == Key::backspace) {
        remove_last_character(typed_);
    } else if (press.character >= U' ') {
        const bool digit = (press.character >= U'0' && press.character <= U'9') ||
                           press.character == U'.' || press.character == U',';
        if (sheet_ == Sheet::pitch && !digit) {
            return;
        }
        append_utf8(typed_,
                    press.character == U',' && sheet_ == Sheet::pitch ? U'.' : press.character);
    }
}

} // namespace bellhand::desk
