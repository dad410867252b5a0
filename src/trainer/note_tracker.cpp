#include "trainer/note_tracker.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr double kSilenceDb = -200.0;
constexpr double kOnsetReachS = 0.060; // a reported onset belongs to a boundary this near
constexpr double kStartReachS =
    0.150; // and this long before the first tone: low notes are seen late
// Judged values without which the median of a note may already be that of the note after it.
constexpr std::uint32_t kEnoughForMiddle = 30;

double cents_from_one_hz(double hz) noexcept {
    return 1200.0 * std::log2(hz);
}

double decibels(double power) noexcept {
    return power > 1e-20 ? 10.0 * std::log10(power) : kSilenceDb;
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
    if (reading.frame.onset) {
        onset_s_ = reading.frame.onset_time_s;
    }
}

/// Level over the last two periods, 20 ms at least: a single hop of a low note rises and falls with each puff of the
/// lips.
double NoteTracker::smoothed_db() const noexcept {
    double f0_hz = 100.0;
    if (recent(0).tone) {
        f0_hz = std::exp2(recent(0).cents / 1200.0);
    } else if (formed_) {
        f0_hz = std::exp2(formed_cents_ / 1200.0);
    }
    const double since_s = recent(0).time_s - std::max(0.020, 2.0 / f0_hz);
    double sum = 0.0;
    std::size_t back = 0;
    for (; back < std::min(seen_, kMoments / 2) && recent(back).time_s > since_s; ++back) {
        sum += recent(back).power;
    }
    return decibels(sum / static_cast<double>(back));
}

NoteTracker::Settled NoteTracker::settled() const noexcept {
    const double now_s = recent(0).time_s;
    double low = recent(0).cents;
    double high = low;
    double sum = 0.0;
    std::size_t back = 0;
    for (; back < std::min(seen_, kMoments); ++back) {
        const Moment& moment = recent(back);
        if (!moment.tone || moment.time_s < start_s_) {
            return {};
        }
        low = std::min(low, moment.cents);
        high = std::max(high, moment.cents);
        sum += moment.cents;
        if (high - low > settings_.settle_cents) {
            return {};
        }
        if (now_s - moment.time_s >= settings_.settle_s) {
            return {true, sum / static_cast<double>(back + 1), moment.time_s};
        }
    }
    return {};
}

/// The pitch stayed within a band of `cents` over the last `span_s`, all of it in this note.
bool NoteTracker::within(double cents, double span_s) const noexcept {
    double low = recent(0).cents;
    double high = low;
    for (std::size_t back = 0; back < std::min(seen_, kMoments); ++back) {
        const Moment& moment = recent(back);
        if (!moment.tone || moment.time_s < start_s_) {
            return false;
        }
        low = std::min(low, moment.cents);
        high = std::max(high, moment.cents);
        if (high - low > cents) {
            return false;
        }
        if (recent(0).time_s - moment.time_s >= span_s) {
            return true;
        }
    }
    return false;
}

bool NoteTracker::holds() const noexcept {
    return within(settings_.steady_cents, settings_.steady_s) ||
           within(settings_.short_steady_cents, settings_.short_steady_s) ||
           within(settings_.vibrato_cents, settings_.vibrato_s);
}

double NoteTracker::middle_cents() const noexcept {
    return pitches_.size() >= kEnoughForMiddle ? pitches_.quantile(0.5) : formed_cents_;
}

double NoteTracker::onset_near(double time_s, double otherwise_s) const noexcept {
    return std::abs(onset_s_ - time_s) <= kOnsetReachS ? onset_s_ : otherwise_s;
}

/// Looks for a fall and rise of the level inside the sounding note.
bool NoteTracker::stroke(Boundary& at) const noexcept {
    const Moment& now = recent(0);
    double lowest_db = now.smooth_db;
    double before_db = kSilenceDb;
    double lowest_s = now.time_s;
    std::size_t back = 1;
    for (; back < std::min(seen_, kMoments); ++back) {
        const Moment& moment = recent(back);
        if (now.time_s - moment.time_s > settings_.dip_span_s ||
            moment.time_s < start_s_ + settings_.shortest_note_s) {
            break;
        }
        if (moment.smooth_db < lowest_db) {
            lowest_db = moment.smooth_db;
            lowest_s = moment.time_s;
            before_db = moment.smooth_db;
        }
        before_db = std::max(before_db, moment.smooth_db);
    }
    const bool reported = onset_s_ > start_s_ + settings_.shortest_note_s &&
                          std::abs(onset_s_ - lowest_s) <= kOnsetReachS;
    const double needed_db = reported ? settings_.dip_with_onset_db : settings_.dip_db;
    const bool fell = before_db - lowest_db >= needed_db;
    const bool rose = now.smooth_db - lowest_db >= needed_db;
    if (!fell || !rose || now.smooth_db < before_db - settings_.stroke_below_db) {
        return false;
    }
    at.start_s = onset_near(lowest_s, lowest_s);
    at.end_s = std::min(at.start_s, lowest_s);
    return true;
}

/// Looks for a slur: another note, settled.
bool NoteTracker::change(Boundary& at) const noexcept {
    const Settled reached = settled();
    const Candidate* old = winner();
    if (!reached.yes || old == nullptr || recent(0).note.written == old->note.written ||
        std::abs(reached.cents - middle_cents()) < settings_.change_cents) {
        return false;
    }
    const double note_db = decibels(power_sum_ / std::max<std::uint32_t>(1, power_count_));
    if (recent(0).smooth_db < note_db - settings_.slur_below_db) {
        return false;
    }
    at = boundary_to(reached.cents);
    return true;
}

/// Where the pitch crossed the middle between the old and the new note; from the judged pitch, whose times are those of
/// the sound, when it reaches that far, else from the live one.
NoteTracker::Boundary NoteTracker::boundary_to(double new_cents) const noexcept {
    const double middle = 0.5 * (middle_cents() + new_cents);
    const bool up = new_cents > middle;
    const auto is_new = [middle, up](double cents) { return (cents > middle) == up; };

    double first_new_s = recent(0).time_s;
    double last_old_s = start_s_;
    double judged_new_s = 0.0;
    for (std::size_t back = 0; back < std::min(seen_, kMoments); ++back) {
        const Moment& moment = recent(back);
        if (!moment.tone) {
            continue;
        }
        if (!is_new(moment.cents)) {
            last_old_s = moment.time_s;
            break;
        }
        first_new_s = moment.time_s;
        if (moment.judged && is_new(moment.judged_cents)) {
            judged_new_s = moment.judged_time_s; // that of the first moments is still the old note
        }
    }
    const bool gapless = first_new_s - last_old_s < settings_.release_s;
    double start_s = gapless ? 0.5 * (first_new_s + last_old_s) : first_new_s;
    if (judged_new_s > 0.0) {
        const double earliest_s = gapless ? last_old_s - settings_.bridge_s : last_old_s;
        start_s = std::clamp(judged_new_s, earliest_s, first_new_s);
    }
    if (!gapless) { // the ear lost the tone on the way: half-way, unless the level tells more
        start_s = 0.5 * (last_old_s + start_s);
    }
    start_s = std::max(start_s, start_s_);
    const double onset_s = onset_near(start_s, start_s);
    start_s = onset_s > start_s_ ? onset_s : start_s;
    return {gapless ? start_s : std::min(last_old_s, start_s), start_s};
}

/// The pitch of a note is seen for a window after its end.
double NoteTracker::fall_before(double end_s) const noexcept {
    const std::size_t known = std::min(seen_, kMoments);
    const double since_s = std::max(start_s_, end_s - settings_.fall_before_s);
    double peak_db = kSilenceDb;
    for (std::size_t back = 0; back < known && recent(back).time_s >= since_s; ++back) {
        peak_db = std::max(peak_db, recent(back).smooth_db);
    }
    for (std::size_t back = 0; back < known && recent(back).time_s >= since_s; ++back) {
        if (recent(back).time_s <= end_s && recent(back).smooth_db >= peak_db - settings_.rise_db) {
            return recent(back).time_s;
        }
    }
    return end_s;
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

/// The pitch of a new note is seen a window late, its level at once. The smoothed level looks back only, so that it
/// comes up through a tenth of the power as soon as a tenth of its window sounds.
double NoteTracker::rise_near(double start_s) const noexcept {
    const std::size_t known = std::min(seen_, kMoments);
    double peak_db = kSilenceDb;
    for (std::size_t back = 0; back < known && recent(back).time_s >= start_s; ++back) {
        peak_db = std::max(peak_db, recent(back).smooth_db);
    }
    const double threshold_db = peak_db - settings_.rise_db;
    const double earliest_s =
        std::max(start_s - settings_.rise_before_s, ended_.start_s + ended_.duration_s);
    for (std::size_t back = 0; back + 1 < known && recent(back).time_s > earliest_s; ++back) {
        const Moment& after = recent(back);
        const Moment& before = recent(back + 1);
        if (after.time_s <= start_s + settings_.rise_after_s && after.smooth_db >= threshold_db &&
            before.smooth_db < threshold_db) {
            return before.time_s;
        }
    }
    return start_s;
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
    Boundary at;
    if (!active_) {
        double heard_s = now.judged ? std::min(now.judged_time_s, now.time_s) : now.time_s;
        if (onset_s_ <= now.time_s && now.time_s - onset_s_ <= kStartReachS) {
            heard_s = onset_s_;
        }
        begin(std::max(heard_s, ended_.start_s + ended_.duration_s), true);
    } else {
        note_early(now);
        if (formed_ && stroke(at)) {
            ended = close(at.end_s);
            begin(at.start_s, true);
        } else if (formed_ && change(at)) {
            if (tongued_ && at.start_s - start_s_ < settings_.first_piece_s) {
                formed_ = false; // a scoop: the note is the one it arrives at
            } else {
                ended = close(at.end_s);
                begin(at.start_s, false);
            }
        }
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
