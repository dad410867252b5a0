#include "desk/model/lesson.h"

#include "trainer/tolerance.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

namespace {

constexpr double kStands_s = 0.35;  // a sounding note is framed when its figures are worth reading
constexpr double kListed_s = 0.15;  // and listed when it is surely one
constexpr double kFigures_s = 0.33; // figures of a sounding note change no more often
constexpr double kHand_s = 0.3;     // the hand of a sounding note is the middle of so much
constexpr double kAttack_s = 0.1;   // which is left out of it
constexpr double kGone_s = 1.0;     // a sounding note that nobody ended was none
constexpr double kSame_s = 0.05;    // starts that belong to one note

} // namespace

void Lesson::clear() {
    const double hold_s = hold_s_;
    const horn::Tuning tuning = tuning_;
    *this = Lesson();
    hold_s_ = hold_s;
    tuning_ = tuning;
}

hand::Intent Lesson::way_of(horn::Note written) const noexcept {
    return asked_ && asked_->written.number == written.number ? asked_->way : asked_of(written);
}

void Lesson::add(const trainer::Reading& reading) noexcept {
    newest_s_ = reading.frame.time_s;
    if (reading.has_note && reading.hand.position.known) {
        heard_[heard_count_++ % kHeard] = {newest_s_, reading.note.written, reading.hand};
    }
}

/// The hand of a note that sounds: of its own last readings the one in the middle.
hand::HandEstimate Lesson::standing_hand(const trainer::PlayedNote& played) const {
    std::vector<const HeardAt*> own;
    for (const HeardAt& each : heard_) {
        if (each.written == played.written && each.time_s > newest_s_ - kHand_s &&
            each.time_s > played.start_s + kAttack_s) {
            own.push_back(&each);
        }
    }
    if (own.empty()) {
        return {};
    }
    const auto middle = own.begin() + static_cast<std::ptrdiff_t>(own.size() / 2);
    std::nth_element(own.begin(), middle, own.end(), [](const HeardAt* a, const HeardAt* b) {
        return a->hand.position.closure < b->hand.position.closure;
    });
    return (*middle)->hand;
}

LessonNote Lesson::note_of(const trainer::PlayedNote& played) const {
    LessonNote note;
    note.index = played.index;
    note.start_s = played.start_s;
    note.duration_s = played.duration_s;
    note.written = played.written;
    note.partial = played.partial;
    note.asked = way_of(played.written);
    note.cents = played.deviation_cents;
    note.known_within_cents = played.known_within_cents;
    note.tolerance_cents = played.tolerance_factor * trainer::tolerance_cents(note.asked.hand);
    note.tuning = tuning_;
    note.ended = played.finished;
    if (!played.finished) {
        note.hand = standing_hand(played);
    } else if (played.heard.heard) {
        note.hand = played.heard.estimate;
    }
    return note;
}

/// The note seen sounding that is this one: it began with it, or shares most of its time.
LessonNote* Lesson::still_sounding(double start_s, double duration_s) noexcept {
    const auto place = std::find_if(notes_.begin(), notes_.end(), [&](const LessonNote& note) {
        const double shared_s =
            std::min(note.end_s(), start_s + duration_s) - std::max(note.start_s, start_s);
        return !note.ended && (std::fabs(note.start_s - start_s) < kSame_s ||
                               shared_s > 0.5 * std::min(note.duration_s, duration_s));
    });
    return place == notes_.end() ? nullptr : &*place;
}

/// `note` takes the place of one that was seen sounding: number and mark stay.
void Lesson::replace(LessonNote& seen, LessonNote note) {
    note.number = seen.number;
    note.marked = seen.marked;
    note.tuning = seen.tuning;
    note.asked = seen.written == note.written ? seen.asked : note.asked;
    seen = note;
}

void Lesson::end(const trainer::PlayedNote& played) {
    LessonNote note = note_of(played);
    if (LessonNote* const seen = still_sounding(note.start_s, note.duration_s)) {
        replace(*seen, note);
        return;
    }
    note.number = ++numbers_;
    const auto place =
        std::upper_bound(notes_.begin(), notes_.end(), note, [](const auto& a, const auto& b) {
            return a.start_s < b.start_s;
        });
    notes_.insert(place, note);
}

void Lesson::stand(const std::optional<trainer::PlayedNote>& sounding) {
    LessonNote* const seen =
        sounding ? still_sounding(sounding->start_s, sounding->duration_s) : nullptr;
    if (seen != nullptr) {
        const bool other = !(seen->written == sounding->written);
        seen->duration_s = sounding->duration_s;
        if (other || newest_s_ - figures_at_s_ >= kFigures_s) {
            replace(*seen, note_of(*sounding));
            figures_at_s_ = newest_s_;
        }
    } else if (sounding && sounding->duration_s >= kListed_s &&
               (notes_.empty() || sounding->start_s > notes_.back().start_s + kSame_s)) {
        LessonNote note = note_of(*sounding);
        note.number = ++numbers_;
        notes_.push_back(note);
        figures_at_s_ = newest_s_;
    }
    // What sounded and never came to an end was no note.
    notes_.erase(std::remove_if(notes_.begin(),
                                notes_.end(),
                                [&](const LessonNote& note) {
                                    return !note.ended && newest_s_ - note.end_s() > kGone_s;
                                }),
                 notes_.end());
}

std::optional<std::size_t> Lesson::place_of(std::uint32_t number) const noexcept {
    for (std::size_t i = notes_.size(); i-- > 0;) {
        if (notes_[i].number == number) {
            return i;
        }
    }
    return std::nullopt;
}

std::optional<std::size_t> Lesson::newest_ready() const noexcept {
    for (std::size_t i = notes_.size(); i-- > 0;) {
        if (notes_[i].ended || notes_[i].duration_s >= kStands_s) {
            return i;
        }
    }
    return std::nullopt;
}

void Lesson::settle(double now_s) noexcept {
    const bool gone = framed_ != 0 && !place_of(framed_);
    if (looking_back_ && !gone) {
        return;
    }
    looking_back_ = false;
    const std::optional<std::size_t> ready = newest_ready();
    if (!ready) {
        framed_ = 0;
    } else if (notes_[*ready].number != framed_ && (gone || now_s - framed_since_s_ >= hold_s_)) {
        framed_ = notes_[*ready].number;
        framed_since_s_ = now_s;
    }
}

const LessonNote* Lesson::framed() const noexcept {
    const auto place = framed_ == 0 ? std::nullopt : place_of(framed_);
    return place ? &notes_[*place] : nullptr;
}

std::array<std::size_t, 2> Lesson::strip() const noexcept {
    const std::size_t end = looking_back_ ? std::min(strip_end_, notes_.size()) : notes_.size();
    return {end - std::min(end, kStrip), end};
}

void Lesson::look(int step) noexcept {
    const auto place = place_of(framed_);
    if (framed_ == 0 || !place) {
        return;
    }
    if (!looking_back_) {
        strip_end_ = notes_.size();
    }
    const auto to = static_cast<std::ptrdiff_t>(*place) + step;
    const auto count = static_cast<std::ptrdiff_t>(notes_.size());
    looking_back_ = to < count && (looking_back_ || step < 0);
    if (!looking_back_) {
        return;
    }
    const auto there = static_cast<std::size_t>(std::max<std::ptrdiff_t>(to, 0));
    framed_ = notes_[there].number;
    strip_end_ = std::clamp(strip_end_, there + 1, there + kStrip);
    strip_end_ = std::max(strip_end_, std::min(kStrip, notes_.size()));
}

bool Lesson::mark() noexcept {
    const auto place = place_of(framed_);
    if (framed_ == 0 || !place) {
        return false;
    }
    notes_[*place].marked = !notes_[*place].marked;
    return true;
}

bool Lesson::any_marked() const noexcept {
    return std::any_of(
        notes_.begin(), notes_.end(), [](const LessonNote& note) { return note.marked; });
}

} // namespace bellhand::desk
