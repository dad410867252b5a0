#include "desk/sheets/tuning_sheets.h"

#include "desk/model/phrases.h"
#include "desk/typing.h"
#include "horn/crook.h"
#include "horn/temperament.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

namespace bellhand::desk {

namespace {

std::string signed_tenths(double cents) {
    char text[24];
    std::snprintf(text, sizeof text, "%+.1f", cents);
    return text;
}

} // namespace

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
    return static_cast<int>(horn::all_temperaments().size()) + 3;
}

std::optional<TemperamentSheet::FootingRow> TemperamentSheet::footing_row(int row) noexcept {
    const int first = static_cast<int>(horn::all_temperaments().size());
    return row < first ? std::nullopt : std::optional(static_cast<FootingRow>(row - first));
}

std::string TemperamentSheet::value_of(FootingRow row) const {
    const horn::Tuning& tuning = session_.tuning();
    switch (row) {
    case FootingRow::root:
        return (tuning.footing.root ? "" : "the crook's key, ") + horn::root_label(tuning);
    case FootingRow::anchor: {
        if (tuning.footing.anchor == horn::Anchor::key) {
            return "the key itself, alone";
        }
        const double off_cents = horn::key_from_equal_cents(tuning);
        return "their A, in company" +
               (std::fabs(off_cents) < 0.05
                    ? std::string()
                    : "; the key stands " + signed_tenths(off_cents) + " cents");
    }
    case FootingRow::black_key:
        break;
    }
    return tuning.footing.enharmonic == horn::Enharmonic::sharp ? "the sharp (on C: G♯)"
                                                                : "the flat (on C: A♭)";
}

std::string TemperamentSheet::targets_in_words() const {
    std::string text;
    for (const char* const name : {"E4", "G4", "Bb4"}) {
        const horn::Note written = horn::parse_note(name).value();
        text += (text.empty() ? "Written " : " ") + horn::display_name(written) + ": " +
                horn::target_words(written, session_.tuning()) + ".";
    }
    return text;
}

void TemperamentSheet::turn(int step) {
    constexpr int kSteps = 12;
    horn::Tuning tuning = session_.tuning();
    horn::Footing& footing = tuning.footing;
    switch (*footing_row(selected())) {
    case FootingRow::root: { // the crook's key stands before C
        const int place = (footing.root ? *footing.root + 1 : 0) + step;
        const int next = (place + kSteps + 1) % (kSteps + 1);
        footing.root = next == 0 ? std::nullopt : std::optional(next - 1);
        break;
    }
    case FootingRow::anchor:
        footing.anchor = footing.anchor == horn::Anchor::key ? horn::Anchor::a : horn::Anchor::key;
        break;
    case FootingRow::black_key:
        footing.enharmonic = footing.enharmonic == horn::Enharmonic::sharp
                                 ? horn::Enharmonic::flat
                                 : horn::Enharmonic::sharp;
        break;
    }
    wishes_.tuning = tuning;
}

KeyTable TemperamentSheet::keys() {
    if (!footing_row(selected())) {
        return SheetPage::keys();
    }
    return {on_steps(Key::left, Key::right, "change it", [this](int step) { turn(step); }),
            on(Key::enter, "next", [this] { turn(1); }).or_key(' '),
            rows_line(),
            close_line()};
}

void TemperamentSheet::accept() {
    if (footing_row(selected())) {
        turn(1);
        return;
    }
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
