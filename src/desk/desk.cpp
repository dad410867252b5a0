#include "desk/desk.h"

#include "horn/crook.h"
#include "horn/temperament.h"

#include <algorithm>
#include <cmath>
#include <ctime>
#include <system_error>
#include <utility>

namespace bellhand::desk {

namespace {

namespace fs = std::filesystem;

constexpr int kReadingSteps = 24; // enough to move the longest page through at the largest type

int index_of_crook(const horn::Crook& crook) {
    const auto all = horn::all_crooks();
    return static_cast<int>(std::find(all.begin(), all.end(), crook) - all.begin());
}

int index_of_temperament(const horn::Temperament& temperament) {
    const auto all = horn::all_temperaments();
    return static_cast<int>(std::find(all.begin(), all.end(), temperament) - all.begin());
}

} // namespace

Desk::Desk(Ear ear, DeskStart start)
    : ear_(std::move(ear)),
      input_(std::move(start.input)),
      tuning_(start.tuning),
      log_path_(std::move(start.log_path)),
      preferences_(start.preferences),
      sound_(start.sound),
      workbook_(start.shelf ? std::move(start.shelf) : real_shelf(log_path_)),
      horn_profile_(std::move(start.horn_profile)),
      own_horn_(start.own_horn),
      tolerance_factor_(start.tolerance_factor) {
    preferences_.type_scale = std::clamp(preferences_.type_scale, kSmallestScale, kLargestScale);
    view_.set_large_hold(preferences_.large_hold_s);
    refresh_chart();
    open_players_horn(own_horn_);
    begin();
}

Desk::~Desk() {
    stop();
}

void Desk::begin() {
    stop();
    view_.clear();
    chosen_note_.reset();
    problem_.clear();
    practice::PracticeOptions options;
    options.tuning = tuning_;
    options.log_path = log_path_;
    options.tolerance_factor = tolerance_factor_;
    input_.output = sound_.settings().output;
    sound_.begin_session();
    app::PlayerHand player = players_horn_.hand_for(tuning_);
    options.hand = std::move(player.own);
    if (input_.kind == InputChoice::Kind::device) {
        options.open_notes = std::move(player.open_notes);
    }
    auto practice = ear_.begin(input_, options);
    if (practice) {
        practice_ = std::move(*practice);
        if (sound_.anything()) {
            sound_now();
        }
    } else {
        problem_ = practice.error().message;
    }
}

/// What the sound sheet wishes; an exercise may wish otherwise later.
void Desk::sound_now() {
    if (practice_) {
        practice_->sound(sound_.wanted(tuning_));
    }
}

void Desk::stop() {
    if (!practice_) {
        return;
    }
    if (run::Run* lesson = workbook_.lesson()) {
        practice::conclude(*practice_, *lesson);
    }
    practice_->stop();
    view_.update(*practice_, wall_s_); // the last note, now closed
    final_session_s_ = practice_->elapsed_s();
    if (input_.kind ==
        InputChoice::Kind::device) { // the demo player and recordings teach nothing of this player
        const auto kept = players_horn_.keep(view_.taught());
        learnt_problem_ = kept ? std::string() : kept.error().message;
    }
    practice_.reset();
    view_.fall_silent();
}

double Desk::session_s() const {
    return practice_ ? practice_->elapsed_s() : final_session_s_;
}

void Desk::update(double wall_s) {
    wall_s_ = wall_s;
    if (practice_) {
        hear(wall_s);
    }
    take_found_devices();
    workbook_.refresh(screen_);
    follow_on_chart();
    update_closing();
    if (screen_ == Screen::bench) {
        if (!bench_ && bench_problem_.empty()) {
            open_bench(horn_profile_);
        }
        if (bench_) {
            bench_->aim(tuning_);
        }
    }
}

void Desk::hear(double wall_s) {
    run::Run* lesson = workbook_.lesson();
    if (lesson == nullptr) {
        view_.update(*practice_, wall_s);
        return;
    }
    practice::attend(*practice_, *lesson, heard_, [this](const horn::Tuning& tuning) {
        return players_horn_.hand_for(tuning).own;
    });
    if (heard_.over && lesson->state().stage != run::Stage::finished) {
        practice::conclude(*practice_, *lesson); // a file has come to its end
    }
    view_.update(*practice_, heard_, wall_s);
    if (!(lesson->tuning() == tuning_)) {
        tuning_ = lesson->tuning(); // the plan changes crooks
        refresh_chart();
    }
}

void Desk::keep_that() {
    takes::Recorder* recorder = practice_ ? practice_->recorder() : nullptr;
    if (recorder == nullptr) {
        return;
    }
    constexpr double kRemembered_s = 120.0;
    const double now_s = practice_->elapsed_s();
    takes::TakeLabel label;
    label.why = "keep that";
    label.kept = true;
    recorder->keep(std::max(0.0, now_s - kRemembered_s), now_s, label);
    kept_at_s_ = wall_s_;
}

bool Desk::just_kept() const noexcept {
    constexpr double kShown_s = 3.0;
    return wall_s_ - kept_at_s_ < kShown_s;
}

void Desk::begin_run(std::vector<skill::PlannedBlock> blocks) {
    end_run();
    begin(); // a lesson is a session of its own
    if (!practice_) {
        return;
    }
    heard_ = {};
    of_the_day_ = tuning_;
    run::Options options;
    options.tuning = tuning_;
    options.hand = [this](const horn::Tuning& tuning) { return players_horn_.response_on(tuning); };
    options.tolerances.pitch_factor = tolerance_factor_;
    options.started_s = static_cast<std::int64_t>(std::time(nullptr));
    const auto begun = workbook_.begin(std::move(blocks), options);
    if (!begun) {
        problem_ = begun.error().message;
    }
}

horn::Tuning Desk::usual_tuning() const {
    horn::Tuning tuning = of_the_day_.value_or(tuning_);
    tuning.crook = tuning_.crook; // that one is on the horn
    return tuning;
}

void Desk::end_run() {
    if (run::Run* lesson = workbook_.lesson(); lesson != nullptr && practice_) {
        practice::conclude(*practice_, *lesson);
    }
    workbook_.end_run();
    const horn::Tuning usual = usual_tuning();
    of_the_day_.reset();
    if (!(usual == tuning_)) {
        set_tuning(usual);
    }
    sound_now();
}

void Desk::follow_workbook() {
    if (auto blocks = workbook_.take_run_wish()) {
        begin_run(std::move(*blocks));
    }
    if (auto words = workbook_.take_copy_wish()) {
        to_clipboard_ = std::move(*words);
    }
    if (workbook_.take_keep_wish()) {
        kept_at_s_ = wall_s_; // the lesson asks the recorder itself
    }
    if (workbook_.take_end_wish()) {
        end_run();
    }
    if (const auto wanted = workbook_.take_wanted_screen()) {
        show(*wanted);
    }
}

void Desk::open_bench(const fs::path& profile) {
    auto opened = Bench::open(profile);
    if (!opened) {
        bench_problem_ = opened.error().message;
        return;
    }
    bench_problem_.clear();
    bench_ = std::move(*opened);
    horn_profile_ = profile;
}

void Desk::take_file(const fs::path& file) {
    if (file.extension() == homework::kEnding) {
        close_sheet();
        show(Screen::homework);
        workbook_.take_homework(file);
    } else if (file.extension() == ".json" && workbook_.take_exercises(file)) {
        open(Sheet::exercises);
    } else if (file.extension() == ".json") {
        close_sheet();
        show(Screen::bench);
        open_bench(file);
        if (bench_problem_.empty()) {
            open_players_horn(true);
            take_hand();
        }
    } else {
        listen_to_file(file);
    }
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

void Desk::show(Screen screen) {
    screen_ = screen;
    workbook_.open(screen, tuning_);
}

Screen Desk::next_screen(int step) const noexcept {
    constexpr int kScreens = static_cast<int>(Screen::count);
    if (screen_ == Screen::run) {
        return Screen::today;
    }
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
    workbook_.today().forget();
    refresh_chart();
    if (practice_) {
        take_hand();
        if (sound_.anything()) {
            sound_now();
        }
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

/// One round through what players ask for, from the usual to twice of it, and from half of it up again.
void Desk::judge_more_kindly() {
    constexpr std::array kFactors{0.5, 0.75, 1.0, 1.25, 1.5, 2.0};
    const auto next = std::upper_bound(kFactors.begin(), kFactors.end(), tolerance_factor_ + 1e-9);
    tolerance_factor_ = next == kFactors.end() ? kFactors.front() : *next;
    if (practice_) {
        practice_->set_tolerance_factor(tolerance_factor_);
    }
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
    } else if (sheet == Sheet::exercises) {
        workbook_.look_for_exercises(tuning_.crook);
    } else if (sheet == Sheet::input || sheet == Sheet::sound) {
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
    std::vector<std::string> outputs;
    for (const audio::Device& device : *found) {
        if (device.outputs > 0) {
            outputs.push_back(device.name);
        }
        if (device.inputs > 0) {
            rows.push_back({InputRow::Kind::device, device});
        }
    }
    sound_.set_outputs(std::move(outputs));
    if (sheet_ == Sheet::sound) {
        return;
    }
    // Whoever has moved the choice already keeps it; else what is in use now is offered first.
    const auto inputs = static_cast<int>(rows.size());
    const auto in_use = std::find_if(rows.begin(), rows.end(), [this](const InputRow& row) {
        return input_.device.name.empty() ? row.device.default_input
                                          : row.device.name == input_.device.name;
    });
    const int offered = in_use == rows.end() ? 0 : static_cast<int>(in_use - rows.begin());
    rows.insert(rows.end(), input_rows_.begin(), input_rows_.end());
    selected_ = selected_ == 0 ? offered : selected_ + inputs;
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
    case Sheet::exercises:
        return static_cast<int>(workbook_.exercises().size());
    case Sheet::sound:
        return SoundDesk::kRows;
    case Sheet::help:
    case Sheet::about:
    case Sheet::figures:
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
    case Sheet::exercises: {
        const auto row = static_cast<std::size_t>(selected_);
        if (row < workbook_.exercises().size() && workbook_.exercises()[row].why_not.empty()) {
            close_sheet();
            workbook_.wish_exercise(row, tuning_.crook);
            follow_workbook();
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
    case Sheet::sound:
        press_on_sound({.character = U' '});
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
            take_file(typed_);
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

} // namespace bellhand::desk
