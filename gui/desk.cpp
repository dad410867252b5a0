#include "gui/desk.h"

#include "horn/crook.h"
#include "horn/temperament.h"

#include <algorithm>
#include <cmath>
#include <system_error>
#include <utility>

namespace bellhand::gui {

namespace {

namespace fs = std::filesystem;

constexpr double kCoarse_hz = 1.0;
constexpr double kFine_hz = 0.1;
constexpr double kScaleStep = 1.1;
constexpr double kHoldStep_s = 0.5;
constexpr int kReadingSteps = 24; // enough to move the longest page through at the largest type

bool is_letter(const Press& press, char letter) {
    return press.character == static_cast<char32_t>(letter) ||
           press.character == static_cast<char32_t>(letter - 'a' + 'A');
}

void append_utf8(std::string& text, char32_t character) {
    const auto byte = [&text](char32_t value) { text.push_back(static_cast<char>(value)); };
    if (character < 0x80) {
        byte(character);
    } else if (character < 0x800) {
        byte(0xC0U | (character >> 6U));
        byte(0x80U | (character & 0x3FU));
    } else if (character < 0x10000) {
        byte(0xE0U | (character >> 12U));
        byte(0x80U | ((character >> 6U) & 0x3FU));
        byte(0x80U | (character & 0x3FU));
    } else {
        byte(0xF0U | (character >> 18U));
        byte(0x80U | ((character >> 12U) & 0x3FU));
        byte(0x80U | ((character >> 6U) & 0x3FU));
        byte(0x80U | (character & 0x3FU));
    }
}

void remove_last_character(std::string& text) {
    while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) {
        text.pop_back();
    }
    if (!text.empty()) {
        text.pop_back();
    }
}

/// Completes a typed path as far as only one continuation exists.
std::string completed(const std::string& typed) {
    const fs::path path(typed);
    const fs::path folder = path.parent_path().empty() ? fs::path(".") : path.parent_path();
    const std::string start = path.filename().string();
    std::optional<std::string> common;
    bool folder_found = false;
    std::error_code error;
    for (fs::directory_iterator entry(folder, error); !error && entry != fs::directory_iterator();
         entry.increment(error)) {
        const std::string name = entry->path().filename().string();
        if (name.compare(0, start.size(), start) != 0) {
            continue;
        }
        if (!common) {
            common = name;
            folder_found = entry->is_directory(error);
            continue;
        }
        folder_found = false;
        const auto differ = std::mismatch(common->begin(), common->end(), name.begin(), name.end());
        common->erase(differ.first, common->end());
    }
    if (!common || common->size() < start.size()) {
        return typed;
    }
    return typed.substr(0, typed.size() - start.size()) + *common + (folder_found ? "/" : "");
}

int index_of_crook(const horn::Crook& crook) {
    const auto all = horn::all_crooks();
    return static_cast<int>(std::find(all.begin(), all.end(), crook) - all.begin());
}

int index_of_temperament(const horn::Temperament& temperament) {
    const auto all = horn::all_temperaments();
    return static_cast<int>(std::find(all.begin(), all.end(), temperament) - all.begin());
}

} // namespace

const char* name_of(Screen screen) noexcept {
    switch (screen) {
    case Screen::practice:
        return "practice";
    case Screen::large:
        return "large";
    case Screen::chart:
        return "hand chart";
    default:
        return "";
    }
}

Desk::Desk(Ear ear, DeskStart start)
    : ear_(std::move(ear)),
      input_(std::move(start.input)),
      tuning_(start.tuning),
      log_path_(std::move(start.log_path)),
      preferences_(start.preferences) {
    preferences_.type_scale = std::clamp(preferences_.type_scale, kSmallestScale, kLargestScale);
    view_.set_large_hold(preferences_.large_hold_s);
    refresh_chart();
    begin();
}

Desk::~Desk() {
    stop();
}

void Desk::begin() {
    stop();
    view_.clear();
    problem_.clear();
    practice::PracticeOptions options;
    options.tuning = tuning_;
    options.log_path = log_path_;
    auto practice = ear_.begin(input_, options);
    if (practice) {
        practice_ = std::move(*practice);
    } else {
        problem_ = practice.error().message;
    }
}

void Desk::stop() {
    if (!practice_) {
        return;
    }
    practice_->stop();
    view_.update(*practice_, wall_s_); // the last note, now closed
    final_session_s_ = practice_->elapsed_s();
    practice_.reset();
}

double Desk::session_s() const {
    return practice_ ? practice_->elapsed_s() : final_session_s_;
}

void Desk::update(double wall_s) {
    wall_s_ = wall_s;
    if (practice_) {
        view_.update(*practice_, wall_s);
    }
    take_found_devices();
    follow_on_chart();
}

void Desk::refresh_chart() {
    chart_ = horn::crook_chart(tuning_, horn::nominal_hand_response(tuning_));
    std::erase_if(chart_, [](const horn::PlayedNote& note) { return note.ways.empty(); });
}

void Desk::follow_on_chart() {
    const auto& shown = view_.note();
    if (!shown || shown->shown_since_s == followed_since_s_) {
        return;
    }
    followed_since_s_ = shown->shown_since_s;
    const auto place =
        std::find_if(chart_.begin(), chart_.end(), [&](const horn::PlayedNote& note) {
            return note.written.number == shown->note.written.number;
        });
    if (place != chart_.end()) {
        chart_choice_ = static_cast<int>(place - chart_.begin());
    }
}

Screen Desk::next_screen(int step) const noexcept {
    constexpr int kScreens = static_cast<int>(Screen::count);
    return static_cast<Screen>((static_cast<int>(screen_) + step + kScreens) % kScreens);
}

void Desk::toggle_session() {
    if (practice_) {
        stop();
    } else {
        begin();
    }
}

void Desk::listen_to_file(const fs::path& file) {
    input_ = InputChoice{};
    input_.kind = InputChoice::Kind::file;
    input_.file = file;
    close_sheet();
    begin();
}

void Desk::set_tuning(const horn::Tuning& tuning) {
    tuning_ = tuning;
    refresh_chart();
    if (practice_) {
        practice_->set_tuning(tuning);
    }
}

void Desk::change_a4(double step_hz) {
    horn::Tuning tuning = tuning_;
    tuning.a4_hz = std::clamp(
        std::round((tuning.a4_hz + step_hz) * 10.0) / 10.0, horn::kLowestA4Hz, horn::kHighestA4Hz);
    set_tuning(tuning);
}

void Desk::next_often_used_pitch() {
    const auto next = std::find_if(kOftenUsedA4_hz.begin(),
                                   kOftenUsedA4_hz.end(),
                                   [this](double a4_hz) { return a4_hz > tuning_.a4_hz + 0.05; });
    typed_.clear();
    change_a4((next == kOftenUsedA4_hz.end() ? kOftenUsedA4_hz.front() : *next) - tuning_.a4_hz);
}

void Desk::change_scale(double factor) {
    preferences_.type_scale =
        std::clamp(preferences_.type_scale * factor, kSmallestScale, kLargestScale);
}

void Desk::change_hold(double step_s) {
    preferences_.large_hold_s =
        std::clamp(preferences_.large_hold_s + step_s, kShortestHold_s, kLongestHold_s);
    view_.set_large_hold(preferences_.large_hold_s);
    hold_changed_at_s_ = wall_s_;
}

bool Desk::hold_just_changed() const noexcept {
    constexpr double kShown_s = 3.0;
    return wall_s_ - hold_changed_at_s_ < kShown_s;
}

void Desk::open(Sheet sheet) {
    sheet_ = sheet;
    selected_ = 0;
    typed_.clear();
    if (sheet == Sheet::crook) {
        selected_ = index_of_crook(tuning_.crook);
    } else if (sheet == Sheet::temperament) {
        selected_ = index_of_temperament(tuning_.temperament);
    } else if (sheet == Sheet::input) {
        look_for_devices();
    }
}

void Desk::close_sheet() {
    sheet_ = Sheet::none;
    typed_.clear();
}

void Desk::look_for_devices() {
    input_rows_ = {InputRow{InputRow::Kind::demo, {}}, InputRow{InputRow::Kind::file, {}}};
    device_problem_.clear();
    if (!device_search_.valid()) {
        device_search_ = std::async(std::launch::async, ear_.devices);
    }
}

void Desk::take_found_devices() {
    if (!device_search_.valid() ||
        device_search_.wait_for(std::chrono::seconds(0)) != std::future_status::ready) {
        return;
    }
    auto found = device_search_.get();
    if (!found) {
        device_problem_ = found.error().message;
        return;
    }
    std::vector<InputRow> rows;
    for (const audio::Device& device : *found) {
        if (device.inputs > 0) {
            rows.push_back({InputRow::Kind::device, device});
        }
    }
    const auto inputs = static_cast<int>(rows.size());
    rows.insert(rows.end(), input_rows_.begin(), input_rows_.end());
    // Whoever has moved the choice already keeps it; else the first device is offered.
    selected_ = selected_ == 0 ? 0 : selected_ + inputs;
    input_rows_ = std::move(rows);
}

int Desk::rows_of_sheet() const noexcept {
    switch (sheet_) {
    case Sheet::crook:
        return static_cast<int>(horn::all_crooks().size());
    case Sheet::temperament:
        return static_cast<int>(horn::all_temperaments().size());
    case Sheet::input:
        return static_cast<int>(input_rows_.size());
    case Sheet::help:
    case Sheet::about:
        return kReadingSteps;
    default:
        return 0;
    }
}

void Desk::accept() {
    switch (sheet_) {
    case Sheet::crook: {
        horn::Tuning tuning = tuning_;
        tuning.crook = horn::all_crooks()[static_cast<std::size_t>(selected_)];
        set_tuning(tuning);
        close_sheet();
        if (input_.kind == InputChoice::Kind::demo && practice_) {
            begin(); // the demo player takes the same horn
        }
        break;
    }
    case Sheet::temperament: {
        horn::Tuning tuning = tuning_;
        tuning.temperament = horn::all_temperaments()[static_cast<std::size_t>(selected_)];
        set_tuning(tuning);
        close_sheet();
        break;
    }
    case Sheet::pitch: {
        if (!typed_.empty()) {
            char* end = nullptr;
            const auto wanted = horn::checked_a4(std::strtod(typed_.c_str(), &end));
            if (!wanted) {
                problem_ = wanted.error().message;
                typed_.clear();
                return;
            }
            change_a4(*wanted - tuning_.a4_hz);
        }
        close_sheet();
        break;
    }
    case Sheet::input:
        accept_input();
        break;
    default:
        close_sheet();
        break;
    }
}

void Desk::accept_input() {
    if (selected_ < 0 || selected_ >= static_cast<int>(input_rows_.size())) {
        return;
    }
    const InputRow row = input_rows_[static_cast<std::size_t>(selected_)];
    switch (row.kind) {
    case InputRow::Kind::file:
        if (!typed_.empty()) {
            listen_to_file(typed_);
        }
        return;
    case InputRow::Kind::demo:
        input_ = InputChoice{};
        input_.kind = InputChoice::Kind::demo;
        break;
    case InputRow::Kind::device: {
        const int channel = input_.device.channel;
        input_ = InputChoice{};
        input_.device.name = row.device.name;
        input_.device.index = row.device.index;
        input_.device.channel = std::clamp(channel, 0, row.device.inputs);
        break;
    }
    }
    close_sheet();
    begin();
}

void Desk::change_channel(int step) {
    if (selected_ < 0 || selected_ >= static_cast<int>(input_rows_.size())) {
        return;
    }
    const InputRow& row = input_rows_[static_cast<std::size_t>(selected_)];
    if (row.kind == InputRow::Kind::device) {
        input_.device.channel = std::clamp(input_.device.channel + step, 0, row.device.inputs);
    }
}

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
    if (press.character == U' ') {
        toggle_session();
    } else if (is_letter(press, 'l')) {
        screen_ = screen_ == Screen::large ? Screen::practice : Screen::large;
    } else if (press.key == Key::page_down || press.key == Key::page_up) {
        screen_ = next_screen(press.key == Key::page_down ? 1 : -1);
    } else if (press.key == Key::escape) {
        screen_ = Screen::practice;
    } else if (press.character >= U'1' &&
               press.character < U'1' + static_cast<char32_t>(Screen::count)) {
        screen_ = static_cast<Screen>(press.character - U'1');
    } else if (screen_ == Screen::chart && (press.key == Key::left || press.key == Key::right)) {
        const int step = press.key == Key::left ? -1 : 1;
        chart_choice_ = std::clamp(chart_choice_ + step, 0, static_cast<int>(chart_.size()) - 1);
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
    } else if (is_letter(press, 'h') || press.character == U'?') {
        open(Sheet::help);
    } else if (is_letter(press, 'v')) {
        open(Sheet::about);
    } else if (is_letter(press, 'd')) {
        change_paper();
    }
}

void Desk::press_on_sheet(const Press& press) {
    const int rows = rows_of_sheet();
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
        sheet_ == Sheet::help || sheet_ == Sheet::about ? close_sheet() : accept();
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
            typed_ = completed(typed_);
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

} // namespace bellhand::gui
