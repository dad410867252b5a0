#include "desk/pages/work_side.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

void WorkSide::show(const homework::Given& given, HomeworkShelf& shelf) {
    if (given.homework.id != id_) {
        clear();
        id_ = given.homework.id;
        auto words = shelf.words(id_);
        words_ = words ? std::move(*words) : std::string();
    }
    auto read = shelf.takes(id_);
    problem_ = read ? std::string() : read.error().message;
    takes_ = read ? std::move(*read) : std::vector<homework::WorkTake>{};
    if (!chosen_by_hand_) {
        chosen_.clear();
        for (const homework::WorkTake& take : takes_) {
            if (take.usual) {
                chosen_.insert(take.take.id);
            }
        }
    }
    choose(take_);
    on_takes_ = on_takes_ && !takes_.empty();
}

void WorkSide::clear() {
    *this = WorkSide();
}

void WorkSide::choose(int take) noexcept {
    take_ = std::clamp(take, 0, std::max(0, static_cast<int>(takes_.size()) - 1));
}

std::vector<std::int64_t> WorkSide::going_back() const {
    std::vector<std::int64_t> ids;
    for (const homework::WorkTake& take : takes_) {
        if (goes_back(take.take.id)) {
            ids.push_back(take.take.id);
        }
    }
    return ids;
}

void WorkSide::refresh(Shelf& shelf) {
    listening_ = shelf.listening();
    if (!listening_.problem.empty()) {
        problem_ = listening_.problem;
    }
}

bool WorkSide::press(const Press& press, Shelf& shelf) {
    if (writing_) {
        if (press.key == Key::enter) {
            const auto kept = shelf.homework().keep_words(id_, writing_->text());
            problem_ = kept ? std::string() : kept.error().message;
            if (kept) { // else what was written stays
                words_ = writing_->text();
                writing_.reset();
            }
        } else if (press.key == Key::escape) {
            writing_.reset();
        } else {
            (void)writing_->press(press);
        }
        return true;
    }
    if (!on_takes_) {
        return false;
    }
    if (move_choice(press, static_cast<int>(takes_.size()), take_)) {
        shelf.stop_listening();
        return true;
    }
    const logbook::TakeRecord& take = takes_[static_cast<std::size_t>(take_)].take;
    const auto play_from = [&](double from_s) {
        const auto heard = shelf.listen(take, from_s, half_speed_ ? 0.5 : 1.0);
        problem_ = heard ? std::string() : heard.error().message;
        listening_ = shelf.listening();
    };
    if (press.key == Key::escape || press.key == Key::left) {
        shelf.stop_listening();
        on_takes_ = false;
    } else if (press.character == U' ' || press.key == Key::enter) {
        chosen_by_hand_ = true;
        if (chosen_.erase(take.id) == 0) {
            chosen_.insert(take.id);
        }
    } else if (is_letter(press, 'p')) {
        if (listening_.sounding) {
            shelf.stop_listening();
            listening_ = shelf.listening();
        } else {
            play_from(0.0);
        }
    } else if (is_letter(press, 's')) {
        half_speed_ = !half_speed_;
        if (listening_.sounding) {
            play_from(listening_.at_s);
        }
    } else {
        return false;
    }
    return true;
}

std::vector<KeyHint> WorkSide::hints() const {
    if (writing_) {
        return {hint(Key::enter, "keep"), hint(Key::escape, "leave it")};
    }
    const bool goes = goes_back(takes_[static_cast<std::size_t>(take_)].take.id);
    return {hint(' ', goes ? "keep it here" : "send it along"),
            hint('p', listening_.sounding ? "stop" : "play"),
            hint('s', half_speed_ ? "full speed" : "half speed"),
            hint(Key::escape, "back")};
}

} // namespace bellhand::desk
