#include "desk/session.h"

#include "desk/model/phrases.h"
#include "logbook/logbook.h"
#include "practice/attend.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <ctime>
#include <utility>

namespace bellhand::desk {

horn::Tuning a4_moved(horn::Tuning tuning, double step_hz) noexcept {
    tuning.a4_hz = std::clamp(
        std::round((tuning.a4_hz + step_hz) * 10.0) / 10.0, horn::kLowestA4Hz, horn::kHighestA4Hz);
    return tuning;
}

Session::Session(Ear ear, const SessionStart& start)
    : ear_(std::move(ear)),
      input_(start.input),
      tuning_(start.tuning),
      log_path_(start.log_path),
      tolerance_factor_(start.tolerance_factor),
      sound_(start.sound) {
    use_horn(start.horn_profile, start.own_horn);
}

Session::~Session() {
    stop();
}

void Session::begin() {
    begin(Keep::everything);
}

void Session::begin_unlogged() {
    begin(Keep::nothing);
}

void Session::begin(Keep keep) {
    stop();
    keep_ = keep;
    view_.clear();
    lesson_.clear();
    marks_.clear();
    clocks_ = {};
    ++number_;
    problem_.clear();
    practice::PracticeOptions options;
    options.tuning = tuning_;
    if (keep == Keep::everything) {
        options.log_path = log_path_;
    }
    options.tolerance_factor = tolerance_factor_;
    input_.output = sound_.settings().output;
    demo_.reset();
    if (input_.kind == InputChoice::Kind::demo) {
        demo_.emplace(input_.demo_seed, tuning_);
    }
    input_.demo_stand = demo_ ? demo_->stand() : nullptr;
    sound_.begin_session();
    app::PlayerHand player = players_horn_.hand_for(tuning_);
    options.hand = std::move(player.own);
    if (input_.kind == InputChoice::Kind::device) {
        options.open_notes = std::move(player.open_notes);
    }
    auto practice = ear_.begin(input_, options);
    if (practice) {
        practice_ = std::move(*practice);
        begin_call();
        if (sound_.anything()) {
            sound_now();
        }
    } else {
        problem_ = practice.error().message;
    }
}

void Session::stop() {
    if (!practice_) {
        return;
    }
    if (run_) {
        practice::conclude(*practice_, *run_);
    }
    stop_call();
    marks_.keep(lesson_, *practice_, nullptr, practice_.get());
    practice_->stop();
    view_.update(*practice_, wall_s_); // the last note, now closed
    add_to_lesson(Side::here, view_.heard());
    lesson_.leave(Side::here);
    final_s_ = practice_->elapsed_s();
    // The demo player and recordings teach nothing of this player.
    if (input_.kind == InputChoice::Kind::device && keep_ == Keep::everything) {
        const auto kept = players_horn_.keep(view_.taught());
        learnt_problem_ = kept ? std::string() : kept.error().message;
    }
    practice_.reset();
    view_.fall_silent();
}

void Session::toggle() {
    if (practice_) {
        stop();
    } else {
        begin();
    }
}

void Session::update(double wall_s) {
    wall_s_ = wall_s;
    if (practice_) {
        tie(Side::here);
        hear();
        hear_call();
        lesson_.settle(wall_s_);
        marks_.keep(lesson_, *practice_, call_.get(), nullptr);
        lead_demo();
    }
    take_found_devices();
}

void Session::look_for_devices() {
    device_problem_.clear();
    if (!device_search_.valid()) {
        device_search_ = std::async(std::launch::async, ear_.devices);
    }
}

void Session::take_found_devices() {
    if (!device_search_.valid() ||
        device_search_.wait_for(std::chrono::seconds(0)) != std::future_status::ready) {
        return;
    }
    auto found = device_search_.get();
    device_problem_ = found ? std::string() : found.error().message;
    if (!found) {
        return;
    }
    devices_ = std::move(*found);
    std::vector<std::string> outputs;
    for (const audio::Device& device : devices_) {
        if (device.outputs > 0) {
            outputs.push_back(device.name);
        }
    }
    sound_.set_outputs(std::move(outputs));
}

void Session::hear() {
    view_.set_horn(tuning_);
    if (!run_) {
        view_.update(*practice_, wall_s_);
        add_to_lesson(Side::here, view_.heard());
        return;
    }
    practice::attend(*practice_, *run_, heard_, [this](const horn::Tuning& tuning) {
        return players_horn_.hand_for(tuning).own;
    });
    if (heard_.over && run_->state().stage != run::Stage::finished) {
        practice::conclude(*practice_, *run_); // a file has come to its end
    }
    view_.update(*practice_, heard_, wall_s_);
    add_to_lesson(Side::here, heard_);
    tuning_ = run_->tuning(); // the plan changes crooks
}

void Session::lead_demo() {
    if (!demo_) {
        return;
    }
    std::optional<app::AskedNote> asked;
    if (const std::optional<Asked>& lesson = lesson_.asked()) {
        asked = {lesson->written, lesson->way.partial, lesson->way.hand};
    }
    demo_->follow(run_ ? &run_->state() : nullptr, tuning_, practice_->elapsed_s(), asked);
}

void Session::add_to_lesson(Side side, const practice::Heard& heard) {
    lesson_.set_tuning(tuning_);
    for (const trainer::Reading& reading : heard.readings) {
        lesson_.add(side, reading);
    }
    for (const trainer::PlayedNote& note : heard.notes) {
        lesson_.end(side, note);
    }
    lesson_.stand(side, heard.sounding);
}

Result<void> Session::begin_run(std::vector<skill::PlannedBlock> blocks, skill::Skills skills) {
    begin();
    if (!practice_) {
        return {}; // `problem` tells why
    }
    heard_ = {};
    of_the_day_ = tuning_;
    run::Options options;
    options.tuning = tuning_;
    options.hand = [this](const horn::Tuning& tuning) { return players_horn_.response_on(tuning); };
    options.tolerances.pitch_factor = tolerance_factor_;
    options.started_s = static_cast<std::int64_t>(std::time(nullptr));
    auto made = run::Run::make(std::move(blocks), std::move(skills), options);
    if (!made) {
        return tl::unexpected(made.error());
    }
    run_ = std::move(*made);
    return {};
}

void Session::end_run() {
    if (run_ && practice_) {
        practice::conclude(*practice_, *run_);
    }
}

bool Session::drop_run() {
    run_.reset();
    const horn::Tuning usual = usual_tuning();
    std::string changed;
    if (!(usual == tuning_)) {
        changed = "Back at your own pitch and temperament, A = " + hertz_text(usual.a4_hz) + ".";
    }
    if (of_the_day_ && !(of_the_day_->crook == tuning_.crook)) {
        changed += (changed.empty() ? "" : " ") + std::string("The horn stays on the ") +
                   tuning_.crook.label + " crook of the exercise: C changes it.";
    }
    if (!changed.empty()) {
        say(changed);
    }
    of_the_day_.reset();
    const bool back = !(usual == tuning_);
    if (back) {
        set_tuning(usual);
    }
    sound_now();
    return back;
}

void Session::sound_now() {
    if (practice_) {
        practice_->sound(sound_.wanted(tuning_));
    }
}

horn::Tuning Session::usual_tuning() const {
    horn::Tuning tuning = of_the_day_.value_or(tuning_);
    tuning.crook = tuning_.crook; // that one is on the horn
    return tuning;
}

void Session::set_tuning(const horn::Tuning& tuning) {
    tuning_ = tuning;
    if (lesson_.asked()) {
        ask(lesson_.asked()); // it sounds elsewhere now
    }
    if (practice_) {
        take_hand();
        if (sound_.anything()) {
            sound_now();
        }
    }
}

void Session::listen_to(const InputChoice& input) {
    if (practice_ && input.kind == InputChoice::Kind::file) {
        const auto tried = ear_.begin(input, {});
        if (!tried) { // a wrong file ends no session
            say(tried.error().message);
            return;
        }
    }
    input_ = input;
    begin();
}

void Session::judge_more_kindly() {
    constexpr std::array kFactors{0.5, 0.75, 1.0, 1.25, 1.5, 2.0};
    const auto next = std::upper_bound(kFactors.begin(), kFactors.end(), tolerance_factor_ + 1e-9);
    tolerance_factor_ = next == kFactors.end() ? kFactors.front() : *next;
    for (const Side side : kSides) {
        if (practice::Practice* const input = input_of(side)) {
            input->set_tolerance_factor(tolerance_factor_);
        }
    }
}

void Session::ask(const std::optional<Asked>& asked) {
    lesson_.ask(asked);
    trainer::ExpectedPitches pitches;
    if (asked) {
        pitches.add(horn::target_hz(asked->written, tuning_));
    }
    for (const Side side : kSides) {
        if (practice::Practice* const input = input_of(side)) {
            input->expect(pitches);
        }
    }
}

void Session::mark() {
    if (!lesson_.mark()) {
        return;
    }
    const LessonNote& note = *lesson_.framed();
    marks_.changed(note);
    if (!practice_) {
        say("The session is over: the mark stands here, but not in the log.");
    } else if (!note.marked) {
        say("The mark on " + horn::display_name(note.written) + " is taken away.");
    } else if (practice_->recorder() == nullptr) {
        say(horn::display_name(note.written) + " is marked here; there is no log to keep it in.");
    } else {
        say(horn::display_name(note.written) + " is marked in the log, with a take of it.");
    }
}

std::optional<HeardSound> Session::sound_of(Side side, double from_s, double to_s) const {
    const practice::Practice* const input = input_of(side);
    const auto memory = input != nullptr ? input->memory() : nullptr;
    const auto stretch = memory ? memory->newest() : nullptr;
    if (!stretch) {
        return std::nullopt;
    }
    const std::uint64_t first = stretch->sample_at(from_s);
    const std::uint64_t last = std::min(stretch->sample_at(to_s), stretch->heard());
    HeardSound sound;
    sound.rate_hz = stretch->rate_hz();
    if (first < stretch->oldest() || last <= first) {
        return std::nullopt;
    }
    sound.samples.resize(last - first);
    return stretch->copy(first, sound.samples) ? std::optional(std::move(sound)) : std::nullopt;
}

void Session::overlook(bool on) {
    for (const Side side : kSides) {
        if (practice::Practice* const input = input_of(side)) {
            input->overlook(on);
        }
    }
}

void Session::keep_that() {
    takes::Recorder* recorder = practice_ ? practice_->recorder() : nullptr;
    if (recorder == nullptr) {
        say(practice_ ? "Nothing is kept: there is no log to keep it in."
                      : "Nothing is kept: no session is running.");
        return;
    }
    const double now_s = practice_->elapsed_s();
    const double back_s = std::min(now_s, takes::kRemembered_s);
    takes::TakeLabel label;
    label.why = "keep that";
    label.kept = true;
    recorder->keep(now_s - back_s, now_s, label);
    takes::Recorder* const call = call_ ? call_->recorder() : nullptr;
    if (call != nullptr) {
        label.why += ": the call";
        call->keep(std::max(0.0, call_->elapsed_s() - back_s), call_->elapsed_s(), label);
    }
    was_kept();
    const int whole_s = static_cast<int>(back_s);
    say("Kept as a take in the log: the last " +
        (whole_s >= 60 ? std::to_string(whole_s / 60) + " min " : std::string()) +
        std::to_string(whole_s % 60) +
        (call == nullptr ? " s. Its file goes to " : " s of both sides. The files go to ") +
        logbook::takes_folder(*log_path_).string() + ".");
}

std::string Session::said() const {
    return wall_s_ < said_until_s_ ? said_ : std::string();
}

void Session::say(std::string words, double shown_s) {
    said_ = std::move(words);
    said_until_s_ = wall_s_ + shown_s;
}

bool Session::just_kept() const noexcept {
    constexpr double kShown_s = 3.0;
    return wall_s_ - kept_at_s_ < kShown_s;
}

void Session::use_horn(const std::filesystem::path& profile, bool own) {
    horn_profile_ = profile;
    own_horn_ = own;
    auto opened = app::PlayersHorn::open(profile, own);
    // The bench says what is wrong with the file.
    players_horn_ = opened ? std::move(*opened) : app::PlayersHorn();
    take_hand();
}

void Session::take_hand() {
    if (practice_) {
        practice_->set_tuning(tuning_, players_horn_.hand_for(tuning_).own);
    }
    if (call_) {
        call_->set_tuning(tuning_, std::nullopt); // another player's hand
    }
}

hand::OpenReference Session::learnt() const {
    if (practice_) {
        return practice_->learnt();
    }
    hand::OpenReference kept = hand::unknown_player();
    kept.notes = players_horn_.open_notes();
    return kept;
}

void Session::forget_learnt() {
    const auto forgotten = players_horn_.forget();
    learnt_problem_ = forgotten ? std::string() : forgotten.error().message;
    view_.forget_taught();
    if (practice_) {
        practice_->forget_learnt();
    }
}

std::string Session::export_closing() {
    const auto added = players_horn_.add_closing(*view_.closing().result(), tuning_);
    if (!added) {
        return added.error().message;
    }
    take_hand();
    return "Now in the calibration of your horn: the hand is heard by it from here on.";
}

double Session::elapsed_s(Side side) const {
    const practice::Practice* const input = input_of(side);
    return input != nullptr ? input->elapsed_s() : side == Side::here ? final_s_ : 0.0;
}

} // namespace bellhand::desk
