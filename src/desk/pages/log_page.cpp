#include "desk/pages/log_page.h"

#include "core/calendar.h"
#include "desk/model/typed_number.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

void LogPage::open(Shelf& shelf) {
    const std::int64_t before = chosen_ < static_cast<int>(sessions_.size())
                                    ? sessions_[static_cast<std::size_t>(chosen_)].id
                                    : -1;
    auto read = shelf.sessions();
    problem_ = read ? std::string() : read.error().message;
    said_.clear();
    const auto room = shelf.takes_room();
    room_ = room ? *room : TakesRoom{};
    sessions_ = read ? std::move(*read) : std::vector<logbook::SessionRecord>{};
    const auto same = std::find_if(sessions_.begin(),
                                   sessions_.end(),
                                   [before](const auto& session) { return session.id == before; });
    if (same != sessions_.end()) {
        chosen_ = static_cast<int>(same - sessions_.begin());
    }
    chosen_ = std::clamp(chosen_, 0, std::max(0, static_cast<int>(sessions_.size()) - 1));
    read_chosen(shelf);
}

void LogPage::leave(Shelf& shelf) {
    shelf.stop_listening();
    remove_for_good(shelf);
    writing_.reset();
    room_entry_.reset();
}

void LogPage::refresh(Shelf& shelf) {
    listening_ = shelf.listening();
    if (!listening_.problem.empty()) {
        problem_ = listening_.problem;
    }
}

void LogPage::read_chosen(Shelf& shelf) {
    contents_ = {};
    if (sessions_.empty()) {
        focus_ = Focus::sessions;
        return;
    }
    auto read = shelf.session(sessions_[static_cast<std::size_t>(chosen_)].id);
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

void LogPage::choose(int session, Shelf& shelf) {
    const int last = static_cast<int>(sessions_.size()) - 1;
    const int wanted = std::clamp(session, 0, std::max(0, last));
    if (wanted == chosen_) {
        return;
    }
    chosen_ = wanted;
    take_ = 0;
    problem_.clear();
    shelf.stop_listening();
    read_chosen(shelf);
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

void LogPage::remove_for_good(Shelf& shelf) {
    if (deleted_take_) {
        tell(shelf.remove_take(deleted_take_->id));
        deleted_take_.reset();
    }
}

void LogPage::delete_chosen(Shelf& shelf) {
    if (const logbook::TakeRecord* take = chosen_take()) {
        const logbook::TakeRecord gone = *take;
        shelf.stop_listening();
        remove_for_good(shelf);
        deleted_session_.reset();
        deleted_take_ = gone;
        read_chosen(shelf);
        return;
    }
    if (focus_ == Focus::takes || sessions_.empty()) {
        return;
    }
    const logbook::SessionRecord gone = sessions_[static_cast<std::size_t>(chosen_)];
    shelf.stop_listening();
    remove_for_good(shelf);
    tell(shelf.delete_session(gone.id));
    if (problem_.empty()) {
        deleted_session_ = gone;
        open(shelf);
    }
}

void LogPage::undo(Shelf& shelf) {
    if (deleted_take_) {
        deleted_take_.reset();
        read_chosen(shelf);
    } else if (deleted_session_) {
        tell(shelf.restore_session(deleted_session_->id));
        if (problem_.empty()) {
            const std::int64_t back = deleted_session_->id;
            deleted_session_.reset();
            open(shelf);
            for (std::size_t i = 0; i < sessions_.size(); ++i) {
                if (sessions_[i].id == back) {
                    choose(static_cast<int>(i), shelf);
                }
            }
        }
    }
}

void LogPage::play(Shelf& shelf) {
    const logbook::TakeRecord* take = chosen_take();
    if (take == nullptr) {
        return;
    }
    if (listening_.sounding) {
        shelf.stop_listening();
    } else {
        tell(shelf.listen(*take, 0.0, half_speed_ ? 0.5 : 1.0));
    }
    listening_ = shelf.listening();
}

void LogPage::write(const Press& press, Shelf& shelf) {
    if (press.key == Key::escape) {
        writing_.reset();
        return;
    }
    if (press.key != Key::enter) {
        (void)writing_->press(press);
        return;
    }
    if (!writing_->empty()) {
        logbook::CommentRecord comment;
        comment.session = sessions_[static_cast<std::size_t>(chosen_)].id;
        if (const logbook::TakeRecord* take = chosen_take()) {
            comment.take = take->id;
        }
        comment.text = writing_->text();
        tell(shelf.add_comment(comment));
        if (!problem_.empty()) {
            return; // what was written stays
        }
    }
    writing_.reset();
    read_chosen(shelf);
}

void LogPage::write_room(const Press& press, Shelf& shelf) {
    if (press.key == Key::escape) {
        room_entry_.reset();
        problem_.clear();
        return;
    }
    if (press.key != Key::enter) {
        (void)room_entry_->press(press);
        return;
    }
    const auto megabytes = whole_in(room_entry_->text(), 1, 10'000'000);
    if (!megabytes) {
        problem_ = "\"" + room_entry_->text() + "\" is no room: write how many megabytes.";
        return;
    }
    const auto set = shelf.set_takes_budget(static_cast<std::int64_t>(*megabytes) * 1'000'000);
    problem_ = set ? std::string() : set.error().message;
    if (set) {
        room_entry_.reset();
        open(shelf);
        said_ = *set;
    }
}

bool LogPage::press(const Press& press, Shelf& shelf) {
    if (room_entry_) {
        write_room(press, shelf);
        return true;
    }
    if (writing_) {
        write(press, shelf);
        return true;
    }
    if (focus_ == Focus::takes) {
        if (move_choice(press, static_cast<int>(contents_.takes.size()), take_)) {
            return true;
        }
        if (press.key == Key::left || press.key == Key::escape) {
            focus_ = Focus::sessions;
            return true;
        }
        if (press.character == U' ' || press.key == Key::enter || is_letter(press, 'p')) {
            play(shelf);
            return true;
        }
        if (is_letter(press, 's')) {
            half_speed_ = !half_speed_;
            if (listening_.sounding) {
                const double at_s = listening_.at_s;
                tell(shelf.listen(*chosen_take(), at_s, half_speed_ ? 0.5 : 1.0));
            }
            return true;
        }
        if (is_letter(press, 'k')) {
            if (const logbook::TakeRecord* take = chosen_take()) {
                tell(shelf.keep_take(*take, !take->kept));
                read_chosen(shelf);
            }
            return true;
        }
    } else {
        int wanted = chosen_;
        if (move_choice(press, static_cast<int>(sessions_.size()), wanted)) {
            choose(wanted, shelf);
            return true;
        }
        if (press.key == Key::right || press.key == Key::enter) {
            if (!contents_.takes.empty()) {
                choose_take(take_);
            }
            return true;
        }
    }
    if (is_letter(press, 'x') || press.key == Key::del) {
        delete_chosen(shelf);
    } else if (is_letter(press, 'u')) {
        undo(shelf);
    } else if (is_letter(press, 'b') && room_.budget_bytes > 0) {
        room_entry_.emplace(std::to_string(room_.budget_bytes / 1'000'000));
    } else if (is_letter(press, 'w') && !sessions_.empty()) {
        writing_.emplace();
    } else {
        return false;
    }
    return true;
}

std::string LogPage::undo_words() const {
    if (deleted_take_) {
        return "take deleted";
    }
    return deleted_session_
               ? "session of " + moment_words(deleted_session_->started_at) + " deleted"
               : std::string();
}

std::vector<KeyHint> LogPage::hints() const {
    if (writing_ || room_entry_) {
        return {hint(Key::enter, "save"), hint(Key::escape, "leave it")};
    }
    std::vector<KeyHint> hints;
    if (!undo_words().empty()) {
        hints.push_back(hint('u', "undo: " + undo_words()));
    }
    if (sessions_.empty()) {
        return hints;
    }
    if (focus_ == Focus::takes) {
        hints.push_back(hint('p', listening_.sounding ? "stop" : "play"));
        hints.push_back(hint('s', half_speed_ ? "full speed" : "half speed"));
        hints.push_back(hint('k', "keep or not"));
        hints.push_back(hint('x', "delete take"));
        hints.push_back(hint('w', "comment"));
        hints.push_back(hint(Key::escape, "back"));
        return hints;
    }
    if (!contents_.takes.empty()) {
        hints.push_back(hint(Key::enter, "its takes"));
    }
    hints.push_back(hint('x', "delete session"));
    hints.push_back(hint('w', "comment"));
    hints.push_back(hint('b', "room for takes"));
    return hints;
}

std::string moment_words(const std::string& utc) {
    const calendar::LocalTime local = calendar::local_time(utc);
    return local.clock.empty() ? utc : calendar::long_day_name(local.day) + ", " + local.clock;
}

InTune in_tune(const std::vector<logbook::NoteRecord>& notes) noexcept {
    InTune sum;
    for (const logbook::NoteRecord& note : notes) {
        ++sum.of;
        sum.good += note.in_tune() ? 1 : 0;
    }
    return sum;
}

} // namespace bellhand::desk
