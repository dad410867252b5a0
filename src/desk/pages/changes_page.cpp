#include "desk/pages/changes_page.h"

#include "desk/model/piece_choice.h"
#include "desk/pages.h"
#include "desk/store/own_files.h"
#include "instrument/calibration/calibration.h"
#include "instrument/profile.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <utility>

namespace bellhand::desk {

namespace {

constexpr std::array kQuizzes{0, 6, 12, 24}; ///< keys asked; the first place is tonight's set list
constexpr double kShortestNote_s = 0.6;
constexpr double kLongEnough_s = 1.2; ///< a note that still sounds is heard out so long
constexpr double kNotJudged_s = 0.13; ///< attack and release of a note
constexpr double kLargestSpread_cents = 25.0;
constexpr std::chrono::milliseconds kUnnoticed{150};

using instrument::ChangeCall;
using instrument::ChangeDrill;

Result<std::vector<ChangeCall>> calls_of(const instrument::HornLengths& horn,
                                         const instrument::AirInHorn& air,
                                         const instrument::SetList& list) {
    instrument::PlanRequest request;
    request.most_between = horn.most_pieces_between;
    const auto plan = instrument::plan_set_list(horn, list, air, request);
    if (!plan) {
        return tl::unexpected(plan.error());
    }
    return instrument::rehearsal_of(*plan);
}

std::uint64_t any_seed() {
    return static_cast<std::uint64_t>(std::chrono::system_clock::now().time_since_epoch().count());
}

/// The note can be judged: held long enough, and steady.
bool can_be_judged(const trainer::PlayedNote& note) {
    return note.spread_cents <= kLargestSpread_cents &&
           note.duration_s >= (note.finished ? kShortestNote_s : kLongEnough_s);
}

} // namespace

void ChangesPage::read_box() {
    const std::filesystem::path& path = session_.horn_profile();
    auto profile = instrument::load_profile(path);
    auto lengths = profile ? instrument::settle_lengths(*profile)
                           : Result<instrument::HornLengths>(tl::unexpected(profile.error()));
    box_.reset();
    if (!lengths) {
        problem_ = lengths.error().message;
        return;
    }
    box_ = ChangeBox{path, profile->name, session_.own_horn(), std::move(*lengths), profile->air};
    if (box_->own && demo_list_) {
        set_list_.reset();
        demo_list_ = false;
        what_ = std::max(what_, 1);
    } else if (!box_->own && !set_list_) {
        // Who has not told of a horn has a box and an evening to try this with.
        auto demo = instrument::load_set_list(demo_set_list_file());
        if (demo) {
            set_list_ = std::move(*demo);
            demo_list_ = true;
        } else {
            problem_ = demo.error().message;
        }
    }
}

std::string ChangesPage::title_of_set_list() const {
    return of_tonight() ? set_list_->title : "";
}

void ChangesPage::enter() {
    if (stage_ == Stage::ready) {
        problem_.clear();
        read_box();
    }
}

void ChangesPage::leave() {
    if (stage_ == Stage::called || stage_ == Stage::judged) {
        end();
    }
    stage_ = Stage::ready;
}

bool ChangesPage::take_set_list(const std::filesystem::path& file) {
    auto list = instrument::load_set_list(file);
    if (!list) {
        problem_ = list.error().message;
        return false;
    }
    if (stage_ != Stage::ready) {
        leave();
    }
    set_list_ = std::move(*list);
    demo_list_ = false;
    what_ = 0;
    return true;
}

std::string ChangesPage::what_words() const {
    if (of_tonight()) {
        return "tonight's changes: " + set_list_->title;
    }
    return "a quiz of " + std::to_string(kQuizzes[static_cast<std::size_t>(what_)]) + " keys";
}

void ChangesPage::turn_row(int step) {
    if (row_ == 1) {
        how_ = how_ == How::named ? How::played : How::named;
        return;
    }
    const int first = set_list_ ? 0 : 1;
    what_ = std::clamp(what_ + step, first, static_cast<int>(kQuizzes.size()) - 1);
}

void ChangesPage::begin() {
    problem_.clear();
    read_box();
    if (!box_) {
        return;
    }
    if (how_ == How::played && session_.input().kind == InputChoice::Kind::demo) {
        problem_ = "The demo player mounts nothing: choose your microphone under I, or name the "
                   "pieces.";
        return;
    }
    const double a4_hz = session_.tuning().a4_hz;
    // The box is copied: a large one is planned while the window goes on.
    planned_ = std::async(
        std::launch::async,
        [horn = box_->lengths,
         air = box_->air,
         list = of_tonight() ? set_list_ : std::nullopt,
         a4_hz,
         questions =
             kQuizzes[static_cast<std::size_t>(what_)]]() -> Result<std::vector<ChangeCall>> {
            return list ? calls_of(horn, air, *list)
                        : instrument::quiz_of(horn, a4_hz, air, questions, any_seed());
        });
    stage_ = Stage::planning;
    planned_.wait_for(kUnnoticed);
    refresh();
}

void ChangesPage::begin_with(std::vector<ChangeCall> calls) {
    stage_ = Stage::ready;
    if (calls.empty()) {
        problem_ = "There is nothing to call: no key can be built from this box in tune.";
        return;
    }
    if (how_ == How::played) {
        begin_listening();
        if (!session_.listening()) {
            stop_listening();
            return;
        }
    }
    drill_.emplace(box_->lengths, std::move(calls), box_->own);
    kept_ = {};
    kept_.began = app::session_of_drill(*drill_, title_of_set_list(), session_.tuning());
    began_s_ = session_.wall_s();
    call_next();
}

void ChangesPage::begin_listening() {
    tuning_before_ = session_.tuning();
    listened_before_ = session_.listening();
    session_.begin_unlogged();
    heard_ = 0;
    if (!session_.listening()) {
        problem_ = session_.problem() + " Naming the pieces needs no microphone.";
    }
}

void ChangesPage::stop_listening() {
    if (!tuning_before_) {
        return;
    }
    session_.set_tuning(*tuning_before_);
    tuning_before_.reset();
    if (listened_before_) {
        session_.begin();
    } else {
        session_.stop();
    }
}

void ChangesPage::call_next() {
    const double now_s = session_.wall_s();
    drill_->next(now_s);
    mended_.clear();
    if (drill_->phase() == ChangeDrill::Phase::over) {
        end();
        return;
    }
    stage_ = Stage::called;
    called_s_ = now_s;
    quiet_ = false;
    const ChangeCall& call = drill_->call();
    named_ = call.from.value_or(instrument::Stack{});
    piece_ = 0;
    if (how_ == How::played) {
        horn::Tuning tuning = session_.tuning();
        tuning.crook = call.target.key;
        tuning.a4_hz = call.target.a4_hz;
        session_.set_tuning(tuning);
    }
}

void ChangesPage::toggle(int piece) {
    if (stage_ != Stage::called || how_ != How::named || piece >= pieces_of(box_->lengths)) {
        return;
    }
    piece_ = piece;
    named_ = toggled(box_->lengths, named_, piece);
    problem_.clear();
}

void ChangesPage::say() {
    if (!instrument::fits(box_->lengths, named_)) {
        problem_ = why_it_does_not_fit(box_->lengths, named_);
        return;
    }
    problem_.clear();
    drill_->say(named_, session_.wall_s());
    stage_ = Stage::judged;
    keep();
}

void ChangesPage::pass() {
    problem_.clear();
    drill_->skip();
    stage_ = Stage::judged;
}

void ChangesPage::refresh() {
    if (stage_ == Stage::planning &&
        planned_.wait_for(std::chrono::seconds(0)) == std::future_status::ready) {
        auto calls = planned_.get();
        if (calls) {
            begin_with(std::move(*calls));
        } else {
            stage_ = Stage::ready;
            problem_ = calls.error().message;
        }
    }
    if (how_ == How::played && (stage_ == Stage::called || stage_ == Stage::judged)) {
        hear();
    }
}

void ChangesPage::hear() {
    const double wall_s = session_.wall_s();
    const PracticeView& view = session_.view();
    if (!quiet_) { // the note of the call before may still be held
        quiet_ = !view.newest().frame.voiced;
        listens_from_s_ = wall_s;
        return;
    }
    for (const trainer::PlayedNote& note : view.notes()) { // newest first
        const double begun_s = wall_s - (view.time_at(wall_s) - note.start_s);
        if (note.index < heard_ || begun_s < listens_from_s_) {
            return;
        }
        if (!can_be_judged(note)) {
            continue;
        }
        heard_ = note.index + 1;
        const instrument::ShownNote shown{
            note.f0_hz,
            instrument::held_note_sd_cents(note.spread_cents, note.duration_s - kNotJudged_s),
            4};
        const instrument::ChangeResult* before = drill_->last_result();
        if (stage_ == Stage::called ||
            (before != nullptr && before->heard->stands == instrument::Stands::unclear)) {
            drill_->show(shown, begun_s);
            stage_ = Stage::judged;
            keep();
        } else if (before != nullptr && before->heard->stands == instrument::Stands::wrong) {
            mended_ = instrument::in_words(drill_->judge(shown));
        }
        return;
    }
}

double ChangesPage::clock_s() const noexcept {
    if (stage_ == Stage::judged && drill_->last_result() != nullptr) {
        return drill_->last_result()->seconds;
    }
    return session_.wall_s() - called_s_;
}

std::string ChangesPage::verdict_words() const {
    const instrument::ChangeResult* result = drill_->last_result();
    return result != nullptr ? instrument::in_words(drill_->horn(), drill_->call(), *result)
                             : "Passed over. It is " +
                                   instrument::describe(drill_->horn(), drill_->call().right) + ".";
}

void ChangesPage::end() {
    keep();
    stop_listening();
    stage_ = Stage::over;
}

void ChangesPage::keep() {
    kept_.duration_s = session_.wall_s() - began_s_;
    kept_.changes = app::change_records(*drill_, title_of_set_list(), box_->name);
    if (kept_.changes.empty() && kept_.session == 0) {
        return; // nothing was done yet
    }
    const auto session = shelf_.keep_drill(kept_);
    if (session) {
        kept_.session = *session;
        problem_.clear();
    } else {
        problem_ = session.error().message; // tried again with the next result
    }
}

KeyTable ChangesPage::keys() {
    switch (stage_) {
    case Stage::ready:
        return keys_when_ready();
    case Stage::planning:
        break;
    case Stage::called:
        return keys_when_called();
    case Stage::judged:
        return keys_when_judged();
    case Stage::over:
        return keys_when_over();
    }
    return {on(Key::escape, "back", [this] { stage_ = Stage::ready; }).at(Foot::always)};
}

KeyTable ChangesPage::keys_when_ready() {
    KeyTable table;
    if (box_) {
        table.push_back(on(Key::enter, "begin", [this] { begin(); }).or_key(' '));
        table.push_back(on_steps(Key::up, Key::down, "another choice", [this](int step) {
            row_ = std::clamp(row_ + step, 0, 1);
        }));
        table.push_back(
            on_steps(Key::left, Key::right, "change it", [this](int step) { turn_row(step); }));
    }
    table.push_back(on(Key::escape, "back to the bench", [this] {
                        wishes_.screen = Screen::bench;
                    }).at(Foot::always));
    return table;
}

KeyTable ChangesPage::keys_when_called() {
    KeyTable table;
    if (how_ == How::named) {
        KeyLine digits = on('1', "pieces", [] {});
        const int count = std::min(10, pieces_of(box_->lengths));
        for (int i = 1; i < count; ++i) {
            digits = digits.or_key(digit_of_piece(i));
        }
        digits.cap = std::string("1 to ") + digit_of_piece(count - 1);
        digits.act = [this](const Press& press) {
            toggle(press.character == U'0' ? 9 : static_cast<int>(press.character - U'1'));
        };
        table.push_back(on(Key::enter, "that is it", [this] { say(); }).at(Foot::always));
        table.push_back(digits);
        table.push_back(on_rows(
            pieces_of(box_->lengths), piece_, "another piece", [this](int row) { piece_ = row; }));
        table.push_back(on(' ', "on or off", [this] { toggle(piece_); }));
    }
    table.push_back(on(Key::page_down, "pass", [this] { pass(); }).or_key(Key::right));
    table.push_back(on(Key::escape, "end", [this] { end(); }).at(Foot::always));
    return table;
}

KeyTable ChangesPage::keys_when_judged() {
    const bool last = drill_->calls_left() == 0;
    return {on(' ', last ? "how it went" : "next", [this] { call_next(); })
                .or_key(Key::enter)
                .or_key(Key::page_down)
                .or_key(Key::right)
                .at(Foot::always),
            on('u',
               "undo, call it again",
               [this] {
                   called_s_ = session_.wall_s();
                   drill_->call_again(called_s_);
                   named_ = drill_->call().from.value_or(instrument::Stack{});
                   mended_.clear();
                   quiet_ = false;
                   stage_ = Stage::called;
                   keep();
               })
                .or_key(Key::page_up)
                .or_key(Key::left),
            on(Key::escape, "end", [this] { end(); }).at(Foot::always)};
}

KeyTable ChangesPage::keys_when_over() {
    KeyTable table;
    if (auto missed = drill_->to_practise();
        !missed.empty() && missed.size() < drill_->calls().size()) {
        table.push_back(on(Key::enter, "those to practise", [this, missed] {
                            begin_with(missed);
                        }).or_key(' '));
    }
    table.push_back(on('r', "once more", [this] { begin_with(drill_->calls()); }));
    table.push_back(on(Key::escape,
                       "choose again",
                       [this] {
                           stage_ = Stage::ready;
                           enter();
                       })
                        .or_key(Key::page_down)
                        .at(Foot::always));
    return table;
}

} // namespace bellhand::desk
