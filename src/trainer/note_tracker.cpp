#include "trainer/note_tracker.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr double kStartReachS =
    0.150; // an onset this long before the first tone is its own: low notes are seen late

double cents_from_one_hz(double hz) noexcept {
    return cents_between(hz, 1.0);
}

} // namespace

NoteTracker::NoteTracker(const TrackerSettings& settings) : settings_(settings) {}

NoteTracker::Moment& NoteTracker::recent(std::size_t back) noexcept {
    return moments_[(seen_ - 1 - back) % kMoments];
}

const NoteTracker::Moment& NoteTracker::recent(std::size_t back) const noexcept {
    return moments_[(seen_ - 1 - back) % kMoments];
}

void NoteTracker::remember(const Reading& reading) noexcept {
    const double judged_before = seen_ > 0 ? recent(0).judged_time_s : -1.0;
    ++seen_;
    Moment& now = recent(0);
    now = Moment{};
    now.time_s = reading.frame.time_s;
    now.power = std::pow(10.0, 0.1 * static_cast<double>(reading.frame.level_dbfs));
    now.tone = reading.has_note;
    now.judged_time_s = judged_before;
    if (now.tone) {
        now.note = reading.note;
        now.cents = cents_from_one_hz(reading.frame.f0_hz);
        if (reading.frame.judged_hz > 0.0 && reading.frame.judged_time_s > judged_before) {
            now.judged = true;
            now.judged_time_s = reading.frame.judged_time_s;
            now.judged_cents = cents_from_one_hz(reading.frame.judged_hz);
        }
    }
    now.smooth_db = smoothed_db();
    now.tone = now.tone && !fell_silent();
    now.judged = now.judged && now.tone;
    if (reading.frame.onset) {
        onset_s_ = reading.frame.onset_time_s;
    }
}

void NoteTracker::begin(double start_s, bool tongued) noexcept {
    active_ = true;
    formed_ = false;
    held_ = false;
    tongued_ = tongued;
    start_s_ = start_s;
    collect_early();
}

void NoteTracker::collect_early() noexcept {
    early_count_ = 0;
    for (std::size_t back = std::min(seen_, kMoments); back-- > 0;) {
        note_early(recent(back));
    }
}

void NoteTracker::note_early(const Moment& moment) noexcept {
    if (moment.judged && moment.judged_time_s >= start_s_ && early_count_ < kEarly) {
        early_[early_count_++] = {moment.judged_time_s, moment.judged_cents};
    }
}

void NoteTracker::try_to_form() noexcept {
    const Settled reached = settled();
    if (!reached.yes) {
        return;
    }
    start_s_ = rise_near(start_s_);
    collect_early();
    formed_ = true;
    formed_cents_ = reached.cents;
    formed_since_s_ = reached.since_s;
    pitches_.reset(reached.cents);
    candidate_count_ = 0;
    power_sum_ = held_power_sum_ = 0.0;
    power_count_ = held_power_count_ = 0;
    for (std::size_t back = std::min(seen_, kMoments); back-- > 1;) {
        count(recent(back));
    }
}

void NoteTracker::count(Moment& moment) noexcept {
    moment.in_pitch = moment.judged && moment.judged_time_s >= start_s_ + settings_.attack_s;
    if (moment.in_pitch) {
        pitches_.add(moment.judged_cents);
    }
    moment.in_level = moment.tone && moment.time_s >= start_s_;
    moment.in_held_level = moment.in_level && moment.time_s >= start_s_ + settings_.attack_s;
    if (moment.in_level) {
        power_sum_ += moment.power;
        ++power_count_;
    }
    if (moment.in_held_level) {
        held_power_sum_ += moment.power;
        ++held_power_count_;
    }
    moment.vote = -1;
    if (!moment.tone || moment.time_s < formed_since_s_) {
        return;
    }
    std::size_t slot = 0;
    while (slot < candidate_count_ && !(candidates_[slot].note.written == moment.note.written)) {
        ++slot;
    }
    if (slot < kCandidates) {
        if (slot == candidate_count_) {
            candidates_[candidate_count_++] = {moment.note, 0};
        }
        ++candidates_[slot].votes;
        moment.vote = static_cast<int>(slot);
    }
}

void NoteTracker::discount_after(double end_s, double held_end_s) noexcept {
    for (std::size_t back = 0; back < std::min(seen_, kMoments); ++back) {
        Moment& moment = recent(back);
        if (moment.in_pitch && moment.judged_time_s > held_end_s) {
            pitches_.remove(moment.judged_cents);
            moment.in_pitch = false;
        }
        if (moment.time_s <= end_s) {
            continue;
        }
        if (moment.in_level) {
            power_sum_ -= moment.power;
            --power_count_;
        }
        if (moment.in_held_level) {
            held_power_sum_ -= moment.power;
            --held_power_count_;
        }
        if (moment.vote >= 0) {
            --candidates_[static_cast<std::size_t>(moment.vote)].votes;
        }
        moment.in_level = moment.in_held_level = false;
        moment.vote = -1;
    }
}

const NoteTracker::Candidate* NoteTracker::winner() const noexcept {
    const Candidate* best = nullptr;
    for (std::size_t i = 0; i < candidate_count_; ++i) {
        if (best == nullptr || candidates_[i].votes > best->votes) {
            best = &candidates_[i];
        }
    }
    return best;
}

bool NoteTracker::afterglow(const PlayedNote& note) const noexcept {
    return ended_.finished && note.level_dbfs < ended_.level_dbfs - settings_.afterglow_below_db &&
           note.start_s - (ended_.start_s + ended_.duration_s) < settings_.afterglow_s;
}

bool NoteTracker::close(double end_s) noexcept {
    active_ = false;
    if (!formed_ || !held_ || end_s - start_s_ < settings_.shortest_note_s) {
        return false;
    }
    discount_after(end_s, end_s - settings_.release_s);
    PlayedNote note;
    figures(end_s, note);
    if (afterglow(note)) {
        return false;
    }
    ended_ = note;
    ended_.finished = true;
    ++next_index_;
    return true;
}

double NoteTracker::heard_since(const Moment& now) const noexcept {
    if (onset_s_ <= now.time_s && now.time_s - onset_s_ <= kStartReachS) {
        return onset_s_;
    }
    return now.judged ? std::min(now.judged_time_s, now.time_s) : now.time_s;
}

bool NoteTracker::follow_change() noexcept {
    Boundary at;
    if (formed_ && stroke(at)) {
        const bool ended = close(at.end_s);
        begin(at.start_s, true);
        return ended;
    }
    if (!formed_ || !change(at)) {
        return false;
    }
    if (tongued_ && at.start_s - start_s_ < settings_.first_piece_s) {
        formed_ = false; // a scoop: the note is the one it arrives at
        return false;
    }
    const bool ended = close(at.end_s);
    begin(at.start_s, false);
    return ended;
}

bool NoteTracker::add(const Reading& reading) noexcept {
    remember(reading);
    const Moment& now = recent(0);
    bool ended = false;
    if (active_ && now.time_s - last_tone_s_ > settings_.bridge_s) {
        ended = close(fall_before(last_tone_s_));
    }
    if (!now.tone) {
        return ended;
    }
    if (!active_) {
        begin(std::max(heard_since(now), ended_.start_s + ended_.duration_s), true);
    } else {
        note_early(now);
        ended = follow_change() || ended;
    }
    last_tone_s_ = now.time_s;
    if (!formed_) {
        try_to_form();
    }
    if (formed_) {
        count(recent(0));
        held_ = held_ || holds();
    }
    return ended;
}

bool NoteTracker::sounding(PlayedNote& out) const noexcept {
    if (!active_ || !formed_ || !held_ || last_tone_s_ - start_s_ < settings_.shortest_note_s) {
        return false;
    }
    figures(last_tone_s_, out);
    out.finished = false;
    return !afterglow(out);
}

bool NoteTracker::finish() noexcept {
    return active_ && close(fall_before(last_tone_s_));
}

} // namespace bellhand::trainer
