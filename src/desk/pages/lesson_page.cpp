#include "desk/pages/lesson_page.h"

#include <algorithm>

namespace bellhand::desk {

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

KeyTable LessonPage::keys_of_choice() {
    KeyTable table{
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
    return table;
}

KeyTable LessonPage::keys() {
    if (choice_) {
        return keys_of_choice();
    }
    Lesson& lesson = session_.lesson();
    KeyTable table;
    if (lesson.framed() != nullptr) {
        table.push_back(on_steps(
            Key::left, Key::right, "look back", [&lesson](int step) { lesson.look(step); }));
    }
    if (lesson.looking_back()) {
        table.push_back(on(Key::end, "follow again", [&lesson] { lesson.follow(); }));
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
