#include "desk/model/lesson.h"

#include "trainer/tolerance.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

namespace {

constexpr double kStands_s = 0.35; // a sounding note is framed when its figures are worth reading
constexpr double kStandsAmongTwo_s = 0.6; // or is known to be no echo
constexpr double kListed_s = 0.15;        // and listed when it is surely one
constexpr double kFigures_s = 0.33;       // figures of a sounding note change no more often
constexpr double kHand_s = 0.3;           // the hand of a sounding note is the middle of so much
constexpr double kAttack_s = 0.1;         // which is left out of it
constexpr double kPales_s = 0.25;         // so long after its last sure moment it looks sure
constexpr double kGone_s = 1.0;           // a sounding note that nobody ended was none
constexpr double kSame_s = 0.05;          // starts that belong to one note
constexpr double kLookedAt_s = 5.0; // so long it may turn out that a note is the other side's echo

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

void Lesson::add(Side side, const trainer::Reading& reading) noexcept {
    Input& input = inputs_[place(side)];
    input.newest_s = reading.frame.time_s;
    if (reading.has_note && !reading.frame.doubtful) {
        input.sure_s = input.newest_s;
    }
    if (reading.has_note && reading.hand.position.known) {
        input.heard[input.heard_count++ % kHeard] = {
            input.newest_s, reading.note.written, reading.hand};
    }
}

/// The hand of a note that sounds: of its own last readings the one in the middle.
hand::HandEstimate Lesson::standing_hand(Side side, const trainer::PlayedNote& played) const {
    const Input& input = inputs_[place(side)];
    std::vector<const HeardAt*> own;
    for (const HeardAt& each : input.heard) {
        if (each.written == played.written && each.time_s > input.newest_s - kHand_s &&
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

LessonNote Lesson::note_of(Side side, const trainer::PlayedNote& played) const {
    LessonNote note;
    note.side = side;
    note.index = played.index;
    note.start_s = played.start_s + inputs_[place(side)].later_s;
    note.own_start_s = played.start_s;
    note.duration_s = played.duration_s;
    note.written = played.written;
    note.partial = played.partial;
    note.f0_hz = played.f0_hz;
    note.level_dbfs = played.level_dbfs;
    note.asked = way_of(played.written);
    note.cents = played.deviation_cents;
    note.known_within_cents = played.known_within_cents;
    note.tolerance_cents = played.tolerance_factor * trainer::tolerance_cents(note.asked.hand);
    note.tuning = tuning_;
    note.ended = played.finished;
    note.sure =
        played.finished || inputs_[place(side)].newest_s - inputs_[place(side)].sure_s <= kPales_s;
    if (side == Side::here) { // a codec leaves pitch, not colour
        if (!played.finished) {
            note.hand = standing_hand(side, played);
        } else if (played.heard.heard) {
            note.hand = played.heard.estimate;
        }
    }
    return note;
}

/// The note seen sounding that is this one: it began with it, or shares most of its time.
LessonNote* Lesson::still_sounding(Side side, double start_s, double duration_s) noexcept {
    for (std::vector<LessonNote>* const list : {&notes_, &echoes_}) {
        for (LessonNote& note : *list) {
            const double shared_s =
                std::min(note.end_s(), start_s + duration_s) - std::max(note.start_s, start_s);
            if (note.side == side && !note.ended &&
                (std::fabs(note.start_s - start_s) < kSame_s ||
                 shared_s > 0.5 * std::min(note.duration_s, duration_s))) {
                return &note;
            }
        }
    }
    return nullptr;
}

/// `note` takes the place of one that was seen sounding: number and mark stay.
void Lesson::replace(LessonNote& seen, LessonNote note) {
    note.number = seen.number;
    note.marked = seen.marked;
    note.tuning = seen.tuning;
    note.asked = seen.written == note.written ? seen.asked : note.asked;
    seen = note;
}

void Lesson::insert(std::vector<LessonNote>& notes, const LessonNote& note) {
    const auto where =
        std::upper_bound(notes.begin(), notes.end(), note, [](const auto& a, const auto& b) {
            return a.start_s < b.start_s;
        });
    notes.insert(where, note);
}

void Lesson::end(Side side, const trainer::PlayedNote& played) {
    LessonNote note = note_of(side, played);
    if (LessonNote* const seen = still_sounding(side, note.start_s, note.duration_s)) {
        replace(*seen, note);
    } else {
        note.number = ++numbers_;
        insert(notes_, note);
    }
    tell_echoes();
}

void Lesson::stand(Side side, const std::optional<trainer::PlayedNote>& sounding) {
    Input& input = inputs_[place(side)];
    const std::size_t before = notes_.size() + echoes_.size();
    if (sounding) {
        LessonNote note = note_of(side, *sounding);
        LessonNote* const seen = still_sounding(side, note.start_s, note.duration_s);
        const auto ended_since = [&](const LessonNote& each) {
            return each.side == side && each.start_s > note.start_s - kSame_s;
        };
        if (seen != nullptr) {
            seen->duration_s = note.duration_s;
            seen->sure = note.sure;
            if (!(seen->written == note.written) ||
                input.newest_s - input.figures_at_s >= kFigures_s) {
                replace(*seen, note);
                input.figures_at_s = input.newest_s;
            }
        } else if (note.duration_s >= kListed_s &&
                   std::none_of(notes_.begin(), notes_.end(), ended_since) &&
                   std::none_of(echoes_.begin(), echoes_.end(), ended_since)) {
            note.number = ++numbers_;
            insert(notes_, note);
            input.figures_at_s = input.newest_s;
        }
    }
    // What sounded and never came to an end was no note.
    const double now_s = input.newest_s + input.later_s;
    for (std::vector<LessonNote>* const list : {&notes_, &echoes_}) {
        list->erase(std::remove_if(list->begin(),
                                   list->end(),
                                   [&](const LessonNote& note) {
                                       return note.side == side && !note.ended &&
                                              now_s - note.end_s() > kGone_s;
                                   }),
                    list->end());
    }
    if ((sounding && two_sides_) || notes_.size() + echoes_.size() != before) {
        tell_echoes();
    }
}

void Lesson::leave(Side side) {
    for (LessonNote& note : notes_) {
        note.ended = note.ended || note.side == side;
        note.out_of_reach = note.out_of_reach || note.side == side;
    }
}

/// Each note counts once, when the one it follows has ended, too.
void Lesson::learn_way(const LessonNote& note, const std::vector<const LessonNote*>& others) {
    Input& input = inputs_[place(note.side)];
    if (!note.ended || note.number <= input.followed) {
        return;
    }
    if (const auto how = following(note, others, {})) {
        input.followed = note.number;
        input.followings.push_back(*how);
    }
}

/// Notes of the last seconds are looked at anew: what they are an echo of may have been told later than they.
void Lesson::tell_echoes() {
    if (two_sides_) {
        const double since_s = std::max(notes_.empty() ? 0.0 : notes_.back().start_s,
                                        echoes_.empty() ? 0.0 : echoes_.back().start_s) -
                               kLookedAt_s;
        std::vector<LessonNote> recent;
        std::vector<LessonNote> around; // and what they may be an echo of
        for (std::vector<LessonNote>* const list : {&notes_, &echoes_}) {
            const auto since = [&](double time_s) {
                return std::find_if(list->begin(), list->end(), [&](const LessonNote& note) {
                    return note.end_s() >= time_s;
                });
            };
            around.insert(around.end(), since(since_s - kLookedAt_s), list->end());
            const auto first = since(since_s);
            recent.insert(recent.end(), first, list->end());
            list->erase(first, list->end());
        }
        for (const LessonNote& note : recent) {
            std::vector<const LessonNote*> others;
            for (const LessonNote& each : around) {
                if (each.side != note.side && each.start_s < note.start_s) {
                    others.push_back(&each);
                }
            }
            learn_way(note, others);
            EchoWays ways;
            ways.usual = usual_of(inputs_[place(note.side)].followings);
            insert(!note.marked && is_echo(note, others, ways) ? echoes_ : notes_, note);
        }
    }
    columns_ = columns_of(notes_);
}

std::size_t Lesson::column_of(std::size_t note) const noexcept {
    for (std::size_t i = columns_.size(); i-- > 0;) {
        if (columns_[i].here == note || columns_[i].call == note) {
            return i;
        }
    }
    return 0;
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
        const double stands_s = two_sides_ ? kStandsAmongTwo_s : kStands_s;
        if (notes_[i].ended || notes_[i].duration_s >= stands_s) {
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
    const std::size_t end = looking_back_ ? std::min(strip_end_, columns_.size()) : columns_.size();
    return {end - std::min(end, kStrip), end};
}

void Lesson::look(int step) noexcept {
    const auto place = place_of(framed_);
    if (framed_ == 0 || !place) {
        return;
    }
    if (!looking_back_) {
        strip_end_ = columns_.size();
    }
    const auto to = static_cast<std::ptrdiff_t>(*place) + step;
    const auto count = static_cast<std::ptrdiff_t>(notes_.size());
    looking_back_ = to < count && (looking_back_ || step < 0);
    if (!looking_back_) {
        return;
    }
    const auto there = static_cast<std::size_t>(std::max<std::ptrdiff_t>(to, 0));
    framed_ = notes_[there].number;
    const std::size_t column = column_of(there);
    strip_end_ = std::clamp(strip_end_, column + 1, column + kStrip);
    strip_end_ = std::max(strip_end_, std::min(kStrip, columns_.size()));
}

bool Lesson::mark() noexcept {
    const auto place = place_of(framed_);
    if (framed_ == 0 || !place) {
        return false;
    }
    notes_[*place].marked = !notes_[*place].marked;
    return true;
}

} // namespace bellhand::desk
