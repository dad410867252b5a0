// The player's hand on the desk: what is known of it, what was learnt, what is kept, and the slow closing.
#include "desk/desk.h"
#include "horn/acoustics/model_hand.h"

#include <algorithm>

namespace bellhand::desk {

void Desk::open_players_horn(bool own) {
    own_horn_ = own;
    workbook_.use_profile(own ? std::optional(horn_profile_) : std::nullopt);
    auto opened = app::PlayersHorn::open(horn_profile_, own);
    // The bench says what is wrong with the file.
    players_horn_ = opened ? std::move(*opened) : app::PlayersHorn();
    predicted_for_.reset();
}

void Desk::take_hand() {
    if (practice_) {
        practice_->set_tuning(tuning_, players_horn_.hand_for(tuning_).own);
    }
}

hand::OpenReference Desk::learnt() const {
    if (practice_) {
        return practice_->learnt();
    }
    hand::OpenReference kept = hand::unknown_player();
    kept.notes = players_horn_.open_notes();
    return kept;
}

void Desk::forget_learnt() {
    const auto forgotten = players_horn_.forget();
    learnt_problem_ = forgotten ? std::string() : forgotten.error().message;
    view_.forget_taught();
    if (practice_) {
        practice_->forget_learnt();
    }
}

const trainer::PlayedNote* Desk::chosen_note() const noexcept {
    const trainer::PlayedNote* newest = nullptr;
    for (const trainer::PlayedNote& note : view_.notes()) {
        if (!note.finished) {
            continue;
        }
        if (!chosen_note_ || note.index == *chosen_note_) {
            return &note;
        }
        newest = newest == nullptr ? &note : newest;
    }
    return newest; // the chosen one is no longer listed
}

void Desk::step_note(int step) noexcept {
    const trainer::PlayedNote* from = chosen_note();
    if (from == nullptr) {
        return;
    }
    const auto& notes = view_.notes(); // newest first
    const auto last = static_cast<std::ptrdiff_t>(notes.size()) - 1;
    const std::ptrdiff_t to = std::clamp<std::ptrdiff_t>((from - notes.data()) + step, 0, last);
    const trainer::PlayedNote& note = notes[static_cast<std::size_t>(to)];
    if (!note.finished || to == 0) {
        chosen_note_.reset(); // back to the newest: follow it again
    } else {
        chosen_note_ = note.index;
    }
}

void Desk::update_closing() {
    view_.closing().listen(screen_ == Screen::closing);
    if (screen_ != Screen::closing || (predicted_for_ && *predicted_for_ == tuning_)) {
        return;
    }
    predicted_for_ = tuning_;
    auto modelled = horn::acoustics::model_hand_response(tuning_, horn::acoustics::humid_air({}));
    closing_prediction_.modelled =
        modelled ? std::move(*modelled) : horn::nominal_hand_response(tuning_);
    closing_prediction_.own.reset();
    if (auto known = players_horn_.hand_for(tuning_); known.own) {
        closing_prediction_.own = std::move(known.own->response);
    }
    view_.closing().set_horn(horn::fundamental_hz(tuning_),
                             closing_prediction_.own ? *closing_prediction_.own
                                                     : horn::nominal_hand_response(tuning_));
}

void Desk::export_closing() {
    if (!closing().result()) {
        return;
    }
    const auto added = players_horn_.add_closing(*closing().result(), tuning_);
    if (!added) {
        closing_export_ = added.error().message;
        return;
    }
    closing_export_ = "Now in the calibration of your horn: the hand is heard by it from here on.";
    predicted_for_.reset();
    take_hand();
}

} // namespace bellhand::desk
