#include "trainer/note_tracker.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr double kStartReachS =
    0.150; // an onset this long before the first tone is its own: low notes are seen late

constexpr double kLeastConfidence = 0.5; // of what may be judged at all
constexpr double kRoseEnough_db = 6.0;   // into a note that begins
constexpr double kRises_s = 0.2;
constexpr double kRinging_db = 15.0; // a room leaves more than this of a note for the first moments
constexpr double kRisesClearly_db = 5.0; // in a room, where a tongue begins it
constexpr double kRiseNearStart_s = 0.035;
constexpr double kRingsInto_s = 0.03;
constexpr double kKnownMoments_s =
    0.9; // of a note no longer than this the beginning is still remembered
constexpr double kLongerInRing_s = 0.03; // a first piece may seem
constexpr std::size_t kStanding = 5;     // readings, 27 ms
constexpr double kStanding_cents = 30.0;
constexpr double kNewSound_s = 0.1;
constexpr double kSamePitch_cents = 60.0;
constexpr double kTakenBack_cents = 1e6; // a reading that turned out to be of the next note
constexpr double kGoesOn_cents =
    100.0; // a doubtful reading this near to the note is still the note

/// Nothing has shown yet that the place is open.
bool may_ring(const ExpectedPitches& expected, const RoomRing& room) noexcept {
    return expected.any() && !room.open();
}

/// In what a room leaves of other notes readings are doubtful one by one; a row of them that stands still is a pitch.
bool stands(const Moments& moments, std::size_t at) noexcept {
    const std::size_t newest = at - std::min(at, kStanding - 1);
    for (std::size_t first = newest; first <= at; ++first) { // of each row that holds it
        double low = moments.recent(first).judged_cents;
        double high = low;
        std::size_t count = 0;
        for (std::size_t back = first; count < kStanding && back + 1 < moments.known(); ++back) {
            const Moment& moment = moments.recent(back);
            if (!moment.tone || !(moment.judged_time_s > moments.recent(back + 1).judged_time_s)) {
                break;
            }
            low = std::min(low, moment.judged_cents);
            high = std::max(high, moment.judged_cents);
            if (high - low > kStanding_cents) {
                break;
            }
            ++count;
        }
        if (count == kStanding) {
            return true;
        }
    }
    return false;
}

double cents_from_one_hz(double hz) noexcept {
    return cents_between(hz, 1.0);
}

} // namespace

NoteTracker::NoteTracker(const TrackerSettings& settings) : settings_(settings) {}

void NoteTracker::remember(const Reading& reading) noexcept {
    const double judged_before = moments_.known() > 0 ? recent(0).judged_time_s : -1.0;
    const pitch::PitchFrame& frame = reading.frame;
    Moment& now = moments_.add();
    now.time_s = frame.time_s;
    now.power = std::pow(10.0, 0.1 * static_cast<double>(frame.level_dbfs));
    now.tone = reading.has_note;
    now.withheld = frame.withheld;
    now.rise_db = static_cast<double>(frame.rise_db);
    now.rise_time_s = frame.rise_time_s;
    now.judged_time_s = judged_before;
    if (now.tone) {
        now.note = reading.note;
        now.judged_note = reading.judged_note;
        whole_horn_cents_ = reading.whole_horn_cents;
        now.cents = cents_from_one_hz(frame.f0_hz);
        now.sure = !frame.doubtful;
        now.confidence = std::max(kLeastConfidence, static_cast<double>(frame.confidence));
        if (frame.judged_hz > 0.0 && frame.judged_time_s > judged_before) {
            now.judged = now.sure;
            now.judged_time_s = frame.judged_time_s;
            now.judged_cents = cents_from_one_hz(frame.judged_hz);
        }
    }
    now.smooth_db = smoothed_db();
    now.tone = now.tone && !fell_silent();
    now.sure = now.sure && now.tone;
    now.judged = now.judged && now.tone;
    room_.hear(moments_);
    if (frame.onset) {
        onset_s_ = frame.onset_time_s;
    }
}

void NoteTracker::begin(double start_s, bool tongued) noexcept {
    active_ = true;
    formed_ = false;
    held_ = false;
    start_unsure_ = false;
    rose_db_ = kRoseEnough_db;
    tongued_ = tongued;
    start_s_ = start_s;
    path_.begin();
    for (std::size_t back = moments_.known(); back-- > 0;) {
        if (recent(back).sure && recent(back).time_s >= start_s_) {
            path_.hear(recent(back).cents, recent(back).confidence);
        }
    }
    collect_early();
}

void NoteTracker::collect_early() noexcept {
    early_count_ = 0;
    const bool stands_tell = may_ring(expected_, room_);
    for (std::size_t back = moments_.known(); back-- > 0;) {
        Moment moment = recent(back);
        moment.judged = moment.judged || (stands_tell && stands(moments_, back));
        note_early(moment);
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
    const double rise_into = rise_into_db();
    in_ring_ = may_ring(expected_, room_) && rise_into < kRinging_db;
    start_unsure_ = in_ring_ && rise_into < kRisesClearly_db &&
                    !struck(start_s_ - kRiseNearStart_s, start_s_ + kRiseNearStart_s);
    collect_early();
    formed_ = true;
    formed_cents_ = reached.cents;
    formed_since_s_ = reached.since_s;
    pitches_.reset(reached.cents);
    candidate_count_ = 0;
    power_sum_ = held_power_sum_ = 0.0;
    power_count_ = held_power_count_ = 0;
    for (std::size_t back = moments_.known(); back-- > 1;) {
        count(recent(back));
    }
}

void NoteTracker::count(Moment& moment) noexcept {
    moment.in_pitch = moment.judged && moment.judged_time_s >= start_s_ + settings_.attack_s &&
                      !mistaken_now(moment.judged_cents, formed_cents_);
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
    if (!moment.sure || moment.time_s < formed_since_s_) {
        return;
    }
    std::size_t slot = 0;
    while (slot < candidate_count_ &&
           !(candidates_[slot].note.written == moment.judged_note.written)) {
        ++slot;
    }
    if (slot < kCandidates) {
        if (slot == candidate_count_) {
            candidates_[candidate_count_++] = {moment.judged_note, 0};
        }
        ++candidates_[slot].votes;
        moment.vote = static_cast<int>(slot);
    }
}

void NoteTracker::discount_after(double end_s, double held_end_s) noexcept {
    for (std::size_t back = 0; back < moments_.known(); ++back) {
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

const NoteTracker::Candidate* NoteTracker::named(double cents) const noexcept {
    const Candidate* nearest = nullptr;
    double nearest_off = 0.0;
    for (std::size_t i = 0; i < candidate_count_; ++i) {
        const double off =
            std::abs(cents_from_one_hz(candidates_[i].note.target_hz) + whole_horn_cents_ - cents) +
            (candidates_[i].votes > 0 ? 0.0 : kTakenBack_cents);
        if (nearest == nullptr || off < nearest_off) {
            nearest = &candidates_[i];
            nearest_off = off;
        }
    }
    return nearest;
}

bool NoteTracker::afterglow(const PlayedNote& note) const noexcept {
    if (!latest_.finished ||
        note.start_s - (latest_.start_s + latest_.duration_s) > settings_.afterglow_s) {
        return false;
    }
    // Found again in the decay: out of no silence and at the old pitch.
    const bool again = rose_db_ < kRoseEnough_db &&
                       std::abs(cents_between(note.f0_hz, latest_.f0_hz)) < kSamePitch_cents;
    // Softer and with no new sound: what the room leaves wanders between pitches.
    const bool asked =
        expected_.near(cents_from_one_hz(note.f0_hz), settings_.short_notes.expected_cents) &&
        std::abs(cents_between(note.f0_hz, latest_.f0_hz)) >= kSamePitch_cents;
    const bool left = listens_into_ring() && !asked && note.duration_s < kKnownMoments_s &&
                      note.level_dbfs < latest_.level_dbfs - settings_.stroke_loud_db &&
                      !first_risen(note.start_s - kNewSound_s, note.start_s + kNewSound_s);
    return again || left || note.level_dbfs < latest_.level_dbfs - settings_.afterglow_below_db;
}

void NoteTracker::close(double end_s) noexcept {
    active_ = false;
    if (!formed_ || !held_ || end_s - start_s_ < settings_.shortest_note_s) {
        close_short(end_s);
        return;
    }
    discount_after(end_s, end_s - settings_.release_s);
    PlayedNote note;
    figures(end_s, note);
    if (!afterglow(note)) {
        take_down(note, true);
    }
}

/// A piece that never held as only an instrument does: a short note, a syllable, or what a room and chance make.
void NoteTracker::close_short(double end_s) noexcept {
    const ShortNoteSettings& rules = settings_.short_notes;
    start_s_ = formed_ ? start_s_ : rise_near(start_s_);
    Piece piece{start_s_, end_s, path_.longest_cents(), false, !tongued_};
    piece.expected = expected_.near(piece.cents, rules.expected_cents);
    if (const std::optional<ShortNote> found = short_note(moments_, piece, rules)) {
        PlayedNote note;
        note.start_s = start_s_;
        note.duration_s = end_s - start_s_;
        note.written = found->note.written;
        note.partial = found->note.partial;
        note.hand = found->note.hand;
        note.target_hz = found->note.target_hz;
        note.deviation_cents = found->cents - cents_from_one_hz(note.target_hz);
        note.attack_cents = note.deviation_cents;
        note.f0_hz = ratio_of_cents(found->cents);
        note.spread_cents = found->spread_cents;
        note.known_within_cents = found->known_within_cents;
        note.level_dbfs = found->level_dbfs;
        note.in_ringing_room = room_.rings();
        const bool spoken = start_s_ - syllable_end_s_ < rules.syllable_s ||
                            spoken_before(moments_, start_s_, rules);
        if (!afterglow(note) && (piece.expected || !spoken)) {
            take_down(note, piece.expected);
        }
    } else if (slides(moments_, piece, rules)) {
        waiting_.drop_before(start_s_, rules.after_s);
        syllable_end_s_ = end_s;
    }
}

void NoteTracker::take_down(PlayedNote note, bool sure) noexcept {
    note.finished = true;
    latest_ = note;
    if (sure) {
        waiting_.add(note);
    } else {
        waiting_.add_short(note);
    }
}

bool NoteTracker::tell(bool all) noexcept {
    if (!waiting_.take(all, ended_)) {
        return false;
    }
    ended_.index = next_index_++;
    return true;
}

double NoteTracker::heard_since(const Moment& now) const noexcept {
    const double last_end_s = latest_.start_s + latest_.duration_s;
    if (may_ring(expected_, room_) &&
        now.time_s - last_end_s < settings_.rise_unheard_s) { // in what it left in the room
        if (const auto rise_s = first_risen(last_end_s - kRingsInto_s, now.time_s)) {
            return *rise_s;
        }
    }
    if (onset_s_ <= now.time_s && now.time_s - onset_s_ <= kStartReachS) {
        return onset_s_;
    }
    return now.judged ? std::min(now.judged_time_s, now.time_s) : now.time_s;
}

void NoteTracker::follow_change() noexcept {
    Boundary at;
    if (formed_ && stroke(at)) {
        close(at.end_s);
        begin(at.start_s, true);
        return;
    }
    if (!formed_ || !change(at)) {
        return;
    }
    const double first_piece_s =
        settings_.first_piece_s + (may_ring(expected_, room_) ? kLongerInRing_s : 0.0);
    if ((tongued_ && at.start_s - start_s_ < first_piece_s) || mistaken_until_now(at.start_s)) {
        formed_ = false; // a scoop, or a mistake of the ear: the note is the one it arrives at
        return;
    }
    close(at.end_s);
    begin(at.start_s, false);
}

/// A doubtful reading begins no note, but goes on with one that it is near to.
bool NoteTracker::counts(const Moment& now) const noexcept {
    return now.sure ||
           (now.tone && active_ && formed_ && std::abs(now.cents - formed_cents_) < kGoesOn_cents);
}

void NoteTracker::follow(const Moment& now) noexcept {
    if (!active_) {
        begin(std::max(heard_since(now), latest_.start_s + latest_.duration_s), true);
        rose_db_ = 0.0;
    } else {
        if (now.sure) {
            path_.hear(now.cents, now.confidence);
        }
        note_early(now);
        follow_change();
    }
    last_tone_s_ = now.time_s;
    if (!formed_) {
        try_to_form();
    }
    if (formed_) {
        count(recent(0));
        held_ = held_ || holds();
        if (rose_db_ < kRoseEnough_db && now.time_s - start_s_ < kRises_s) {
            const Piece so_far{start_s_, now.time_s, now.cents, false, false};
            rose_db_ =
                std::max(rose_db_, rise_db(moments_, so_far, settings_.short_notes.rise_before_s));
        }
    }
}

bool NoteTracker::add(const Reading& reading) noexcept {
    remember(reading);
    const Moment& now = recent(0);
    const bool still_loud = listens_into_ring() && formed_ && held_ &&
                            now.smooth_db > note_db() - settings_.bridge_loud_db;
    if (active_ &&
        now.time_s - last_tone_s_ > (still_loud ? settings_.bridge_loud_s : settings_.bridge_s)) {
        close(fall_before(last_tone_s_));
    }
    if (counts(now)) {
        follow(now);
    }
    waiting_.hear(moments_, active_ && !(formed_ && held_), settings_.short_notes);
    return tell(false);
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
    if (active_) {
        PlayedNote cut;
        const bool sounded = sounding(cut);
        close(fall_before(last_tone_s_));
        // What goes on after a note that was cut is that tone itself, not the room after it.
        latest_.finished = latest_.finished && !sounded;
    }
    for (std::size_t back = 0; back < moments_.known(); ++back) { // named by the crook there was
        recent(back).sure = recent(back).judged = false;
    }
    return tell(true);
}

} // namespace bellhand::trainer
