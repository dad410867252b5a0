#include "desk/sheets/tuning_sheets.h"

#include "desk/model/phrases.h"
#include "desk/typing.h"
#include "horn/crook.h"
#include "horn/temperament.h"

#include <algorithm>
#include <cstdlib>

namespace bellhand::desk {

void CrookSheet::enter() {
    const auto all = horn::all_crooks();
    select(
        static_cast<int>(std::find(all.begin(), all.end(), session_.tuning().crook) - all.begin()));
}

int CrookSheet::rows() const {
    return static_cast<int>(horn::all_crooks().size());
}

void CrookSheet::accept() {
    horn::Tuning tuning = session_.tuning();
    tuning.crook = horn::all_crooks()[static_cast<std::size_t>(selected())];
    wishes_.tuning = tuning;
    wishes_.close_sheet = true;
}

void TemperamentSheet::enter() {
    const auto all = horn::all_temperaments();
    select(static_cast<int>(std::find(all.begin(), all.end(), session_.tuning().temperament) -
                            all.begin()));
}

int TemperamentSheet::rows() const {
    return static_cast<int>(horn::all_temperaments().size());
}

void TemperamentSheet::accept() {
    horn::Tuning tuning = session_.tuning();
    tuning.temperament = horn::all_temperaments()[static_cast<std::size_t>(selected())];
    wishes_.tuning = tuning;
    wishes_.close_sheet = true;
}

void PitchSheet::move(double step_hz) {
    wishes_.tuning = a4_moved(session_.tuning(), step_hz);
}

void PitchSheet::next_often_used() {
    const double now_hz = session_.tuning().a4_hz;
    const auto next = std::find_if(kOftenUsedA4_hz.begin(),
                                   kOftenUsedA4_hz.end(),
                                   [&](double a4_hz) { return a4_hz > now_hz + 0.05; });
    typed_.clear();
    move((next == kOftenUsedA4_hz.end() ? kOftenUsedA4_hz.front() : *next) - now_hz);
}

void PitchSheet::type(const Press& press) {
    append_utf8(typed_, press.character == U',' ? U'.' : press.character);
}

void PitchSheet::accept() {
    if (!typed_.empty()) {
        char* end = nullptr;
        const auto wanted = horn::checked_a4(std::strtod(typed_.c_str(), &end));
        if (!wanted) {
            session_.set_problem(wanted.error().message);
            typed_.clear();
            return;
        }
        move(*wanted - session_.tuning().a4_hz);
    }
    wishes_.close_sheet = true;
}

KeyTable PitchSheet::keys() {
    constexpr double kCoarse_hz = 1.0;
    constexpr double kFine_hz = 0.1;
    std::string often;
    for (const double a4_hz : kOftenUsedA4_hz) {
        often += (often.empty() ? "" : ", ") + hertz_text(a4_hz);
    }
    KeyLine digits = on('0', "type it, from 380 to 470, then Enter", [] {});
    for (const char key : {'1', '2', '3', '4', '5', '6', '7', '8', '9', '.', ','}) {
        digits = digits.or_key(key);
    }
    digits.cap = "0 to 9";
    digits.act = [this](const Press& press) { type(press); };
    return {
        on_steps(Key::down, Key::up, "by one hertz", [this](int step) { move(step * kCoarse_hz); }),
        on_steps(Key::left,
                 Key::right,
                 "by a tenth of a hertz",
                 [this](int step) { move(step * kFine_hz); }),
        digits,
        on(Key::tab, "next of " + often, [this] { next_often_used(); }),
        on(Key::backspace, "take the last digit back", [this] { remove_last_character(typed_); }),
        on(Key::enter, "choose", [this] { accept(); }).or_key(' ').at(Foot::always),
        close_line()};
}

} // namespace bellhand::desk
