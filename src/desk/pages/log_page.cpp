#include "desk/pages/log_page.h"

#include "core/calendar.h"
#include "desk/model/typed_number.h"

#include <algorithm>
#include <string>
#include <utility>

namespace bellhand::desk {

void LogPage::enter() {
    const std::int64_t before = chosen_ < static_cast<int>(sessions_.size())
                                    ? sessions_[static_cast<std::size_t>(chosen_)].id
                                    : -1;
    auto read = shelf_.sessions();
    problem_ = read ? std::string() : read.error().message;
    said_.clear();
    const auto room = shelf_.takes_room();
    room_ = room ? *room : TakesRoom{};
    sessions_ = read ? std::move(*read) : std::vector<logbook::SessionRecord>{};
    const auto same = std::find_if(sessions_.begin(),
                                   sessions_.end(),
                                   [before](const auto& session) { return session.id == before; });
    if (same != sessions_.end()) {
        chosen_ = static_cast<int>(same - sessions_.begin());
    }
    chosen_ = std::clamp(chosen_, 0, std::max(0, static_cast<int>(sessions_.size()) - 1));
    read_chosen();
}

void LogPage::leave() {
    shelf_.stop_listening();
    remove_for_good();
    entry_.reset();
    room_entry_.reset();
}

void LogPage::refresh() {
    listening_ = shelf_.listening();
    if (!listening_.problem.empty()) {
        problem_ = listening_.problem;
    }
}

void LogPage::read_chosen() {
    contents_ = {};
    if (sessions_.empty()) {
        focus_ = Focus::sessions;
        return;
    }
    auto read = shelf_.session(sessions_[static_cast<std::size_t>(chosen_)].id);
    if (read) {
        contents_ = std::move(*read);
    } else {
        problem_ = read.error().message;
    }
    if (deleted_take_) {
        std::erase_if(contents_.takes,
                      [this](const auto& take) { return take.id == deleted_take_->id; });
    }
    take_ = std::clamp(take_, 0, std::max(0, static_cast<int>(contents_.takes.size()) - 1));
    // While the last take waits for its undo the choice stays here: another X must not reach for the session.
    if (contents_.takes.empty() && !deleted_take_) {
        focus_ = Focus::sessions;
    }
}

void LogPage::choose(int session) {
    const int last = static_cast<int>(sessions_.size()) - 1;
    const int wanted = std::clamp(session, 0, std::max(0, last));
    if (wanted == chosen_) {
        return;
    }
    chosen_ = wanted;
    take_ = 0;
    problem_.clear();
    shelf_.stop_listening();
    read_chosen();
}

void LogPage::choose_take(int take) noexcept {
    focus_ = Focus::takes;
    take_ = std::clamp(take, 0, std::max(0, static_cast<int>(contents_.takes.size()) - 1));
}

const logbook::TakeRecord* LogPage::chosen_take() const noexcept {
    const auto at = static_cast<std::size_t>(take_);
    return focus_ == Focus::takes && at < contents_.takes.size() ? &contents_.takes[at] : nullptr;
}

void LogPage::tell(const Result<void>& result) {
    problem_ = result ? std::string() : result.error().message;
}

void LogPage::remove_for_good() {
    if (deleted_take_) {
        tell(shelf_.remove_take(deleted_take_->id));
        deleted_take_.reset();
    }
}

void LogPage::delete_chosen() {
    if (const logbook::TakeRecord* take = chosen_take()) {
        const logbook::TakeRecord gone = *take;
        shelf_.stop_listening();
        remove_for_good();
        deleted_session_.reset();
        deleted_take_ = gone;
        read_chosen();
        return;
    }
    if (focus_ == Focus::takes || sessions_.empty()) {
        return;
    }
    const logbook::SessionRecord gone = sessions_[static_cast<std::size_t>(chosen_)];
    shelf_.stop_listening();
    remove_for_good();
    tell(shelf_.delete_session(gone.id));
    if (problem_.empty()) {
        deleted_session_ = gone;
        enter();
    }
}

void LogPage::undo() {
    if (deleted_take_) {
        deleted_take_.reset();
        read_chosen();
    } else if (deleted_session_) {
        tell(shelf_.restore_session(deleted_session_->id));
        if (problem_.empty()) {
            const std::int64_t back = deleted_session_->id;
            deleted_session_.reset();
            enter();
            for (std::size_t i = 0; i < sessions_.size(); ++i) {
                if (sessions_[i].id == back) {
                    choose(static_cast<int>(i));
                }
            }
        }
    }
}

void LogPage::play_from(double at_s) {
    tell(shelf_.listen(*chosen_take(), at_s, half_speed_ ? 0.5 : 1.0));
    listening_ = shelf_.listening();
}

void LogPage::play() {
    if (!listening_.sounding) {
        play_from(0.0);
        return;
    }
    shelf_.stop_listening();
    listening_ = shelf_.listening();
}

void LogPage::change_speed() {
    half_speed_ = !half_speed_;
    if (listening_.sounding) {
        play_from(listening_.at_s);
    }
}

void LogPage::keep_or_not() {
    const logbook::TakeRecord* take = chosen_take();
    tell(shelf_.keep_take(*take, !take->kept));
    read_chosen();
}

void LogPage::save_comment() {
    if (!entry_->empty()) {
        logbook::CommentRecord comment;
        comment.session = sessions_[static_cast<std::size_t>(chosen_)].id;
        if (const logbook::TakeRecord* take = chosen_take()) {
            comment.take = take->id;
        }
        comment.text = entry_->text();
        tell(shelf_.add_comment(comment));
        if (!problem_.empty()) {
            return; // what was written stays
        }
    }
    entry_.reset();
    read_chosen();
}

void LogPage::save_room() {
    const auto megabytes = whole_in(room_entry_->text(), 1, 10'000'000);
    if (!megabytes) {
        problem_ = "\"" + room_entry_->text() + "\" is not a size: write it in megabytes.";
        return;
    }
    const auto set = shelf_.set_takes_budget(static_cast<std::int64_t>(*megabytes) * 1'000'000);
    problem_ = set ? std::string() : set.error().message;
    if (set) {
        room_entry_.reset();
        enter();
        said_ = *set;
    }
}

void LogPage::leave_entry() {
    if (room_entry_) {
        problem_.clear();
    }
    room_entry_.reset();
    entry_.reset();
}

void LogPage::write(const Press& press) {
    (void)(room_entry_ ? room_entry_ : entry_)->press(press);
}

void LogPage::add_takes_lines(KeyTable& table) {
    const int count = static_cast<int>(contents_.takes.size());
    table.push_back(on_rows(count, take_, "another take", [this](int row) { choose_take(row); }));
    if (chosen_take() != nullptr) {
        table.push_back(on('p', listening_.sounding ? "stop" : "play", [this] { play(); })
                            .or_key(' ')
                            .or_key(Key::enter));
        table.push_back(
            on('h', half_speed_ ? "full speed" : "half speed", [this] { change_speed(); }));
        table.push_back(
            on('k', chosen_take()->kept ? "keep no longer" : "keep", [this] { keep_or_not(); }));
        table.push_back(on('x', "delete take", [this] { delete_chosen(); }).or_key(Key::del));
    }
    table.push_back(on('w', "words on it", [this] { entry_.emplace(); }));
    table.push_back(on(Key::escape, "back", [this] { focus_ = Focus::sessions; })
                        .or_key(Key::left)
                        .at(Foot::always));
}

void LogPage::add_sessions_lines(KeyTable& table) {
    const int count = static_cast<int>(sessions_.size());
    table.push_back(on_rows(count, chosen_, "another session", [this](int row) { choose(row); }));
    if (!contents_.takes.empty()) {
        table.push_back(
            on(Key::enter, "its takes", [this] { choose_take(take_); }).or_key(Key::right));
    }
    table.push_back(on('x', "delete session", [this] { delete_chosen(); }).or_key(Key::del));
    table.push_back(on('w', "words on it", [this] { entry_.emplace(); }));
}

KeyTable LogPage::keys() {
    if (writing()) {
        return {on(Key::enter, "save", [this] { room_entry_ ? save_room() : save_comment(); })
                    .at(Foot::always),
                on(Key::escape, "leave it", [this] { leave_entry(); }).at(Foot::always)};
    }
    KeyTable table;
    if (!undo_words().empty()) {
        table.push_back(on('u', "undo: " + undo_words(), [this] { undo(); }));
    }
    if (focus_ == Focus::takes) {
        add_takes_lines(table);
    } else if (!sessions_.empty()) {
        add_sessions_lines(table);
    }
    if (room_.budget_bytes > 0) {
        table.push_back(on('z', "space for takes", [this] {
            room_entry_.emplace(std::to_string(room_.budget_bytes / 1'000'000));
        }));
    }
    return table;
}

std::string LogPage::undo_words() const {
    if (deleted_take_) {
        return "take deleted";
    }
    return deleted_session_
               ? "session of " + moment_words(deleted_session_->started_at) + " deleted"
               : std::string();
}

std::string moment_words(const std::string& utc) {
    const calendar::LocalTime local = calendar::local_time(utc);
    return local.clock.empty() ? utc : calendar::long_day_name(local.day) + ", " + local.clock;
}

InTune in_tune(const std::vector<logbook::NoteRecord>& notes) noexcept {
    InTune sum;
    for (const logbook::NoteRecord& note : notes) {
        if (const auto in_tune = note.in_tune()) {
            ++sum.of;
            sum.good += *in_tune ? 1 : 0;
        }
    }
    return sum;
}

} // namespace bellhand::desk
