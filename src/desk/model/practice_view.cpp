#include "desk/model/practice_view.h"

#include <algorithm>

namespace bellhand::desk {

namespace {

constexpr HoldTimes kNear{};
constexpr std::size_t kNotesKept = 200;
constexpr double kListed_s =
    0.15; // the figures of a note that has only begun are not yet worth reading
constexpr double kClipShown_s = 3.0;
constexpr float kQuietEnough_db = 15.0F; // tone over room; below it the readings scatter visibly
constexpr double kFall_db_per_s = 30.0;

} // namespace

PracticeView::PracticeView() : near_(kNear) {
    notes_.reserve(kNotesKept + 1);
    motions_.reserve(kNotesKept);
}

void PracticeView::clear() {
    near_.clear();
    thread_.clear();
    hand_.clear();
    closing_.clear();
    balance_.clear();
    held_.clear();
    advised_.reset();
    taught_.clear();
    motions_.clear();
    notes_.clear();
    ended_ = 0;
    newest_ = {};
    any_reading_ = false;
    source_ended_ = false;
    level_dbfs_ = -120.0;
    loud_room_s_ = 0.0;
    clipped_at_s_ = -1e9;
    source_ = {};
    log_ = {};
    own_sound_ = {};
    horn_.forget();
}

void PracticeView::update(practice::Practice& practice, double wall_s) {
    heard_.readings.clear();
    heard_.notes.clear();
    heard_.over = !practice.poll(
        [this](const trainer::Reading& reading) { heard_.readings.push_back(reading); });
    practice.take_notes(heard_.notes);
    heard_.sounding = practice.sounding();
    update(practice, heard_, wall_s);
}

void PracticeView::update(const practice::Practice& practice,
                          const practice::Heard& heard,
                          double wall_s) {
    source_ended_ = heard.over;
    for (const trainer::Reading& reading : heard.readings) {
        add(reading);
    }
    if (!heard.readings.empty()) {
        newest_at_wall_s_ = wall_s;
    }
    for (const trainer::PlayedNote& note : heard.notes) {
        near_.ended(note);
        hand_.ended(note);
        if (note.heard.heard) {
            advised_ = note;
            horn_.take(note.heard.horn, tuning_);
        }
        if (note.heard.taught.known) {
            taught_.push_back(note.heard.taught);
        }
        if (motions_.size() == kNotesKept) {
            motions_.erase(motions_.begin());
        }
        motions_.emplace_back(note.index, held_.of(note));
        put_first(note);
        ++ended_;
    }
    if (heard.sounding && heard.sounding->duration_s >= kListed_s) {
        put_first(*heard.sounding);
    }
    source_ = practice.source_status();
    log_ = practice.log_status();
    own_sound_ = practice::own_sound_words(practice.own_sound());
    if (source_.state != audio::SourceState::running) {
        fall_silent();
    }
}

void PracticeView::set_horn(const horn::Tuning& tuning) {
    if (!(tuning == tuning_)) {
        tuning_ = tuning;
        horn_.forget();
    }
}

void PracticeView::fall_silent() {
    near_.fall_silent();
    hand_.fall_silent();
    closing_.fall_silent();
    balance_.fall_silent();
    newest_.has_note = false;
    newest_.frame.voiced = false;
    level_dbfs_ = -120.0;
}

pitch::PitchMotion PracticeView::motion_of(const trainer::PlayedNote& note) const noexcept {
    const auto place = std::find_if(
        motions_.begin(), motions_.end(), [&](const auto& one) { return one.first == note.index; });
    return note.finished && place != motions_.end() ? place->second : pitch::PitchMotion{};
}

void PracticeView::put_first(const trainer::PlayedNote& note) {
    if (!notes_.empty() && !notes_.front().finished && notes_.front().index == note.index) {
        notes_.front() = note;
        return;
    }
    if (!notes_.empty() && notes_.front().index >= note.index) {
        return; // a moment old: it has ended and stands there already
    }
    notes_.insert(notes_.begin(), note);
    if (notes_.size() > kNotesKept) {
        notes_.pop_back();
    }
}

void PracticeView::add(const trainer::Reading& reading) {
    const double step_s =
        any_reading_ ? std::clamp(reading.frame.time_s - newest_.frame.time_s, 0.0, 0.1) : 0.0;
    near_.add(reading);
    thread_.add(reading);
    hand_.add(reading);
    closing_.add(reading);
    balance_.add(reading);
    held_.add(reading);
    level_dbfs_ = std::max(static_cast<double>(reading.frame.level_dbfs),
                           level_dbfs_ - kFall_db_per_s * step_s);
    if (reading.frame.voiced) {
        const bool loud = reading.frame.snr_db < kQuietEnough_db;
        loud_room_s_ = std::clamp(loud_room_s_ + (loud ? step_s : -2.0 * step_s), 0.0, 4.0);
    }
    if (reading.frame.clipped) {
        clipped_at_s_ = reading.frame.time_s;
    }
    newest_ = reading;
    any_reading_ = true;
}

bool PracticeView::clipped_lately() const noexcept {
    return newest_.frame.time_s - clipped_at_s_ < kClipShown_s;
}

double PracticeView::time_at(double wall_s) const noexcept {
    return newest_.frame.time_s + std::clamp(wall_s - newest_at_wall_s_, 0.0, 0.05);
}

} // namespace bellhand::desk
