#include "desk/pages/work_side.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

void WorkSide::show(const homework::Given& given) {
    if (given.homework.id != id_) {
        clear();
        id_ = given.homework.id;
        auto words = shelf_.homework().words(id_);
        words_ = words ? std::move(*words) : std::string();
    }
    auto read = shelf_.homework().takes(id_);
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
    id_.clear();
    takes_.clear();
    chosen_.clear();
    chosen_by_hand_ = false;
    on_takes_ = false;
    take_ = 0;
    words_.clear();
    entry_.reset();
    listening_ = {};
    half_speed_ = false;
    problem_.clear();
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

void WorkSide::refresh() {
    listening_ = shelf_.listening();
    if (!listening_.problem.empty()) {
        problem_ = listening_.problem;
    }
}

void WorkSide::keep_words() {
    const auto kept = shelf_.homework().keep_words(id_, entry_->text());
    problem_ = kept ? std::string() : kept.error().message;
    if (kept) { // else what was written stays
        words_ = entry_->text();
        entry_.reset();
    }
}

void WorkSide::send_or_not() {
    chosen_by_hand_ = true;
    const std::int64_t id = chosen_take().id;
    if (chosen_.erase(id) == 0) {
        chosen_.insert(id);
    }
}

void WorkSide::play_from(double from_s) {
    const auto heard = shelf_.listen(chosen_take(), from_s, half_speed_ ? 0.5 : 1.0);
    problem_ = heard ? std::string() : heard.error().message;
    listening_ = shelf_.listening();
}

void WorkSide::play() {
    if (!listening_.sounding) {
        play_from(0.0);
        return;
    }
    shelf_.stop_listening();
    listening_ = shelf_.listening();
}

void WorkSide::change_speed() {
    half_speed_ = !half_speed_;
    if (listening_.sounding) {
        play_from(listening_.at_s);
    }
}

KeyTable WorkSide::keys() {
    if (writing()) {
        return {on(Key::enter, "keep", [this] { keep_words(); }).at(Foot::always),
                on(Key::escape, "leave it", [this] { entry_.reset(); }).at(Foot::always)};
    }
    return {on(' ',
               goes_back(chosen_take().id) ? "keep it here" : "send it along",
               [this] { send_or_not(); })
                .or_key(Key::enter),
            on('p', listening_.sounding ? "stop" : "play", [this] { play(); }),
            on('h', half_speed_ ? "full speed" : "half speed", [this] { change_speed(); }),
            on('w', "words with it", [this] { begin_words(); }),
            on_rows(static_cast<int>(takes_.size()),
                    take_,
                    "another take",
                    [this](int row) {
                        choose(row);
                        shelf_.stop_listening();
                    }),
            on(Key::escape,
               "back",
               [this] {
                   shelf_.stop_listening();
                   on_takes_ = false;
               })
                .or_key(Key::left)
                .at(Foot::always)};
}

} // namespace bellhand::desk
