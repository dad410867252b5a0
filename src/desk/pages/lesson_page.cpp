#include "desk/pages/lesson_page.h"

#include "desk/model/lesson_words.h"

#include <algorithm>
#include <cstdio>

namespace bellhand::desk {

namespace {

constexpr double kLast_s = 10.0;  // what P plays of a lesson that is followed
constexpr double kAround_s = 2.0; // and before and after a note that is looked at

} // namespace

void LessonPage::leave() {
    choice_.reset();
    shelf_.stop_listening();
}

bool LessonPage::after() const noexcept {
    return !session_.listening() && !session_.lesson().notes().empty() &&
           !session_.lesson().looking_back();
}

std::vector<const LessonNote*> LessonPage::marks() const {
    std::vector<const LessonNote*> marked;
    for (const LessonNote& note : session_.lesson().notes()) {
        if (note.marked) {
            marked.push_back(&note);
        }
    }
    return marked;
}

const logbook::TakeRecord* LessonPage::take_of(const LessonNote& note) const noexcept {
    const double middle_s = note.own_start_s + 0.5 * note.duration_s;
    const std::string of_the_call = kMarkedTake + std::string(kCallMark);
    const auto place = std::find_if(takes_.begin(), takes_.end(), [&](const auto& take) {
        const bool covers = take.start_s <= middle_s && middle_s <= take.start_s + take.duration_s;
        const bool same_side = (note.side == Side::call) == (take.why.rfind(of_the_call, 0) == 0);
        return covers && same_side;
    });
    return place == takes_.end() ? nullptr : &*place;
}

/// The session is over: what the log has of it, and what is to be practised.
void LessonPage::look_after() {
    takes_.clear();
    problem_.clear();
    chosen_ = 0;
    to_practise_ = what_to_practise(session_.lesson().notes());
    const std::int64_t logged = session_.view().log().session;
    if (logged != 0) {
        auto contents = shelf_.session(logged);
        if (contents) {
            takes_ = std::move(contents->takes);
        } else {
            problem_ = contents.error().message;
        }
    }
}

void LessonPage::follow() {
    listening_ = shelf_.listening();
    session_.overlook(listening_.sounding || shelf_.homework().listening().sounding);
    const bool now_after = !session_.listening() && !session_.lesson().notes().empty();
    if (now_after && !was_after_) {
        look_after();
    }
    was_after_ = now_after;
    if (!listening_.problem.empty()) {
        problem_ = listening_.problem;
    }
}

void LessonPage::change_hold(double step_s) {
    hold_s_ = std::clamp(hold_s_ + step_s, kShortestHold_s, kLongestHold_s);
    session_.lesson().set_hold(hold_s_);
    changed_at_s_ = session_.wall_s();
}

/// Begins with the framed note, else with what is asked already.
void LessonPage::choose_what_to_ask() {
    const Lesson& lesson = session_.lesson();
    const LessonNote* const framed = lesson.framed();
    if (framed != nullptr && (lesson.looking_back() || !lesson.asked())) {
        choice_ = AskChoice({framed->written, framed->asked});
    } else if (lesson.asked()) {
        choice_ = AskChoice(*lesson.asked());
    } else {
        choice_ = AskChoice({{67, 0}, asked_of({67, 0})});
    }
}

void LessonPage::play_from(double from_s) {
    const auto heard = again_(from_s, half_speed_ ? 0.5 : 1.0);
    problem_ = heard ? std::string() : heard.error().message;
    listening_ = shelf_.listening();
}

void LessonPage::play_take(const LessonNote& note) {
    const logbook::TakeRecord* const take = take_of(note);
    if (take == nullptr) {
        problem_ = "There is no take of that note: the log did not keep one.";
        return;
    }
    playing_ = horn::display_name(note.written);
    again_ = [this, record = *take](double from_s, double speed) {
        return shelf_.listen(record, from_s, speed);
    };
    play_from(std::max(0.0, note.own_start_s - kAround_s - take->start_s));
}

void LessonPage::play_last() {
    // Of the side that is framed, which is what everybody looks at.
    const LessonNote* const framed = session_.lesson().framed();
    const Side side = framed == nullptr || framed->out_of_reach ? Side::here : framed->side;
    const double now_s = session_.elapsed_s(side);
    play_sound(session_.sound_of(side, std::max(0.0, now_s - kLast_s), now_s),
               side == Side::call ? "the last ten seconds of the call" : "the last ten seconds",
               "Nothing was heard yet that could be played.");
}

void LessonPage::play_heard(const LessonNote& note) {
    auto sound = note.out_of_reach ? std::nullopt
                                   : session_.sound_of(note.side,
                                                       std::max(0.0, note.own_start_s - kAround_s),
                                                       note.own_end_s() + kAround_s);
    if (!sound && note.marked) {
        look_after();
        play_take(note);
        return;
    }
    play_sound(std::move(sound),
               horn::display_name(note.written),
               "That is more than two minutes ago: only marked notes are kept longer.");
}

void LessonPage::play_sound(std::optional<HeardSound> sound,
                            std::string what,
                            const char* if_none) {
    if (!sound) {
        problem_ = if_none;
        return;
    }
    playing_ = std::move(what);
    again_ = [this, kept = std::move(*sound)](double at_s, double speed) {
        return shelf_.listen(kept, at_s, speed);
    };
    play_from(0.0);
}

void LessonPage::play() {
    if (listening_.sounding) {
        shelf_.stop_listening();
        listening_ = shelf_.listening();
        return;
    }
    const Lesson& lesson = session_.lesson();
    if (after()) {
        play_take(*marks()[static_cast<std::size_t>(chosen_)]);
    } else if (const LessonNote* const note = lesson.framed();
               note != nullptr && lesson.looking_back()) {
        if (!session_.listening()) {
            play_take(*note);
            return;
        }
        play_heard(*note);
    } else {
        play_last();
    }
}

void LessonPage::mark() {
    session_.mark();
    to_practise_ = what_to_practise(session_.lesson().notes());
    choose(std::clamp(chosen_, 0, std::max(0, static_cast<int>(marks().size()) - 1)));
}

void LessonPage::change_speed() {
    half_speed_ = !half_speed_;
    if (listening_.sounding && again_) {
        play_from(listening_.at_s);
    }
}

void LessonPage::compose() {
    wishes_.compose = homework_after(to_practise_, session_.tuning(), shelf_.homework().today());
}

std::string LessonPage::sentence() const {
    constexpr double kShown_s = 3.0;
    if (session_.wall_s() - changed_at_s_ < kShown_s) {
        char held[64];
        std::snprintf(held, sizeof held, "Each note is held %.1f s at least.", hold_s_);
        return held;
    }
    if (listening_.sounding) {
        return "Playing " + playing_ + (half_speed_ ? ", half speed" : "") +
               (session_.listening() ? "; what is heard meanwhile does not count." : ".");
    }
    return session_.said().empty() ? session_.about_player() : session_.said();
}

KeyTable LessonPage::keys_of_choice() {
    return {
        on(Key::enter,
           "ask it",
           [this] {
               session_.ask(choice_->asked());
               choice_.reset();
           })
            .at(Foot::always),
        on_steps(
            Key::down, Key::up, "another note", [this](int step) { choice_->step_note(step); }),
        on_steps(
            Key::left, Key::right, "another hand", [this](int step) { choice_->step_hand(step); }),
        on(Key::escape, "leave it", [this] { choice_.reset(); }).at(Foot::always)};
}

void LessonPage::add_lines_of_playing(KeyTable& table) {
    table.push_back(on('p', listening_.sounding ? "stop" : "play", [this] { play(); }));
    table.push_back(on('h', half_speed_ ? "full speed" : "half speed", [this] { change_speed(); }));
}

void LessonPage::add_lines_after(KeyTable& table) {
    const auto count = static_cast<int>(marks().size());
    if (count > 0) {
        table.push_back(on_rows(count, chosen_, "another mark", [this](int row) { choose(row); }));
        add_lines_of_playing(table);
    }
    if (!to_practise_.empty()) {
        table.push_back(on('n', "compose what is asked next", [this] { compose(); }));
    }
}

KeyTable LessonPage::keys() {
    if (choice_) {
        return keys_of_choice();
    }
    Lesson& lesson = session_.lesson();
    KeyTable table;
    if (after()) {
        add_lines_after(table);
    }
    if (lesson.framed() != nullptr) {
        table.push_back(on_steps(
            Key::left, Key::right, "look back", [&lesson](int step) { lesson.look(step); }));
    }
    if (lesson.looking_back()) {
        table.push_back(on(Key::end,
                           session_.listening() ? "follow again" : "marks and what to practise",
                           [&lesson] { lesson.follow(); }));
    }
    if (after()) {
        return table;
    }
    if (const LessonNote* const framed = lesson.framed()) {
        table.push_back(
            on('m', framed->marked ? "take the mark away" : "mark it", [this] { mark(); }));
    }
    if (!lesson.notes().empty()) {
        add_lines_of_playing(table);
    }
    table.push_back(on('n', "what is asked next", [this] { choose_what_to_ask(); }));
    if (lesson.asked()) {
        table.push_back(on(Key::backspace, "ask nothing", [this] { session_.ask(std::nullopt); }));
    }
    table.push_back(on_steps(Key::down, Key::up, "hold notes shorter or longer", [this](int step) {
                        change_hold(step * kStep_s);
                    }).at(Foot::never));
    return table;
}

} // namespace bellhand::desk
