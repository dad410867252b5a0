// Where notes begin and end: the part of NoteTracker that looks at its last moments and changes nothing.
#include "core/cents.h"
#include "trainer/note_tracker.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr double kSilenceDb = -200.0;
constexpr double kOnsetReachS = 0.060; // a reported onset belongs to a boundary this near
constexpr double kNearAsked_cents = 40.0;
constexpr double kAskedChange_cents = 60.0; // of a semitone, between notes that are 20 cents off
constexpr double kOfMostRise = 0.6;
constexpr double kCalm_cents = 15.0;
constexpr double kSmallRatio_cents = 40.0;
constexpr double kCalmMayRing_s =
    0.100; // in a room the old note is heard to hold so long after its end
// Judged values without which the median of a note may already be that of the note after it.
constexpr std::uint32_t kEnoughForMiddle = 30;

bool in_small_ratio(double one_cents, double other_cents) noexcept {
    const double off = std::abs(one_cents - other_cents);
    constexpr std::array kRatios_cents{1200.0, 1901.96, 2400.0};
    return std::any_of(kRatios_cents.begin(), kRatios_cents.end(), [off](double ratio_cents) {
        return std::abs(off - ratio_cents) < kSmallRatio_cents;
    });
}

} // namespace

double NoteTracker::decibels(double power) noexcept {
    return power > 1e-20 ? 10.0 * std::log10(power) : kSilenceDb;
}

/// Level over the last two periods, 20 ms at least: a single hop of a low note rises and falls with each puff of the
/// lips.
double NoteTracker::smoothed_db() const noexcept {
    double f0_hz = 100.0;
    if (recent(0).tone) {
        f0_hz = ratio_of_cents(recent(0).cents);
    } else if (formed_) {
        f0_hz = ratio_of_cents(formed_cents_);
    }
    const double since_s = recent(0).time_s - std::max(0.020, 2.0 / f0_hz);
    double sum = 0.0;
    std::size_t back = 0;
    for (; back < moments_.known() / 2 && recent(back).time_s > since_s; ++back) {
        sum += recent(back).power;
    }
    return decibels(sum / static_cast<double>(back));
}

/// True when the newest moment lies in the silence after a tone.
bool NoteTracker::fell_silent() const noexcept {
    const Moment& now = recent(0);
    const std::size_t known = moments_.known();
    double peak_db = now.smooth_db;
    for (std::size_t back = 1;
         back < known && now.time_s - recent(back).time_s <= settings_.silent_span_s;
         ++back) {
        peak_db = std::max(peak_db, recent(back).smooth_db);
    }
    const bool held = known > 1 && now.cents == recent(1).cents;
    return peak_db - now.smooth_db >= (held ? settings_.held_fall_db : settings_.silent_fall_db);
}

NoteTracker::Settled NoteTracker::settled() const noexcept {
    const double now_s = recent(0).time_s;
    double low = recent(0).cents;
    double high = low;
    double sum = 0.0;
    bool one_note = true;
    double count = 0.0;
    for (std::size_t back = 0; back < moments_.known(); ++back) {
        const Moment& moment = recent(back);
        if (!moment.tone || moment.time_s < start_s_) {
            return {};
        }
        if (!moment.sure) {
            continue;
        }
        ++count;
        low = std::min(low, moment.cents);
        high = std::max(high, moment.cents);
        sum += moment.cents;
        one_note = one_note && moment.note.written == recent(0).note.written;
        if (high - low > settings_.settle_cents) {
            return {};
        }
        if (now_s - moment.time_s >= settings_.settle_s) {
            const double cents = sum / count;
            return {path_.stands_at(cents), one_note, cents, moment.time_s};
        }
    }
    return {};
}

/// The pitch stayed within a band of `cents` over the last `span_s`, all of it in this note.
bool NoteTracker::within(double cents, double span_s) const noexcept {
    double low = recent(0).cents;
    double high = low;
    for (std::size_t back = 0; back < moments_.known(); ++back) {
        const Moment& moment = recent(back);
        if (!moment.sure || moment.time_s < start_s_) {
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

/// Pitch of the note as it was before `before_s`: its median, or the mean of what there is while it is young.
double NoteTracker::middle_cents(double before_s) const noexcept {
    if (pitches_.size() >= kEnoughForMiddle) {
        return pitches_.quantile(0.5);
    }
    double sum = 0.0;
    int count = 0;
    for (std::size_t back = 0; back < moments_.known(); ++back) {
        const Moment& moment = recent(back);
        if (moment.time_s < formed_since_s_) {
            break;
        }
        if (moment.sure && moment.time_s < before_s && !mistaken_now(moment.cents, formed_cents_)) {
            sum += moment.cents;
            ++count;
        }
    }
    return count > 0 ? sum / count : formed_cents_;
}

double NoteTracker::onset_near(double time_s, double otherwise_s) const noexcept {
    return std::abs(onset_s_ - time_s) <= kOnsetReachS ? onset_s_ : otherwise_s;
}

std::optional<double> NoteTracker::struck(double from_s, double to_s) const noexcept {
    std::optional<double> time_s;
    double most_db = settings_.stroke_rise_db;
    for (std::size_t back = 0; back < moments_.known(); ++back) {
        const Moment& moment = recent(back);
        if (moment.rise_time_s < from_s) {
            break;
        }
        if (moment.rise_time_s <= to_s && moment.rise_db >= most_db) {
            most_db = moment.rise_db;
            time_s = moment.rise_time_s;
        }
    }
    return time_s;
}

double NoteTracker::note_db() const noexcept {
    return decibels(power_sum_ / std::max<std::uint32_t>(1, power_count_));
}

/// How far the level comes up into the piece.
double NoteTracker::rise_into_db() const noexcept {
    const Piece so_far{start_s_, recent(0).time_s, 0.0, false, false};
    return rise_db(moments_, so_far, kOnsetReachS);
}

/// The piece was read in a small ratio to the pitch that is asked for and has now been reached.
bool NoteTracker::mistaken_until_now(double start_s) const noexcept {
    const double within = settings_.short_notes.expected_cents;
    if (!expected_.any() || start_s - start_s_ > settings_.mistaken_s ||
        expected_.near(formed_cents_, within) || !expected_.near(recent(0).cents, within)) {
        return false;
    }
    return in_small_ratio(recent(0).cents, formed_cents_);
}

/// At a multiple or part of the note that is asked for and sounds: the ear's mistake, as long as nothing asks for that pitch.
bool NoteTracker::mistaken_now(double cents, double middle_cents) const noexcept {
    const double within = settings_.short_notes.expected_cents;
    return expected_.any() && expected_.near(middle_cents, within) &&
           !expected_.near(cents, within) && in_small_ratio(cents, middle_cents);
}

/// Two notes that sound together beat, and each beat is a rise: the first one counts that is not small beside the largest, as
/// the end of a tone is. In a silence noise rises and falls.
std::optional<double> NoteTracker::first_risen(double from_s, double to_s) const noexcept {
    std::optional<double> time_s;
    const double audible_db = recent(0).smooth_db - settings_.rise_db;
    const auto counts = [&](const Moment& moment) {
        return moment.rise_time_s <= to_s && moment.rise_db >= settings_.slur_rise_db &&
               moment.smooth_db > audible_db;
    };
    double most_db = 0.0;
    for (std::size_t back = 0; back < moments_.known() && recent(back).rise_time_s >= from_s;
         ++back) {
        most_db = std::max(most_db, counts(recent(back)) ? recent(back).rise_db : 0.0);
    }
    for (std::size_t back = 0; back < moments_.known() && recent(back).rise_time_s >= from_s;
         ++back) {
        if (counts(recent(back)) && recent(back).rise_db >= kOfMostRise * most_db) {
            time_s = recent(back).rise_time_s;
        }
    }
    return time_s;
}

/// When the pitch was last read as steadily as a note holds it.
double NoteTracker::last_calm_s(double before_s, double cents) const noexcept {
    for (std::size_t back = 0; back < moments_.known(); ++back) {
        const Moment& moment = recent(back);
        if (moment.time_s < before_s && moment.sure &&
            std::abs(moment.cents - cents) < kCalm_cents) {
            return moment.time_s;
        }
    }
    return start_s_;
}

/// The pitch has settled since `lowest_s` where it was before.
bool NoteTracker::came_back_after(double lowest_s) const noexcept {
    const Settled reached = settled();
    if (!reached.yes || reached.since_s < lowest_s) {
        return false;
    }
    std::array<double, Moments::kMoments> before{};
    std::size_t count = 0;
    for (std::size_t back = 0; back < moments_.known(); ++back) {
        const Moment& moment = recent(back);
        if (moment.time_s < start_s_) {
            break;
        }
        if (moment.sure && moment.time_s <= lowest_s) {
            before[count++] = moment.cents;
        }
    }
    if (count == 0) {
        return false;
    }
    double* const middle =
        before.data() + count / 2; // the first moments may still show the note before
    std::nth_element(before.data(), middle, before.data() + count);
    return std::abs(reached.cents - *middle) < settings_.settle_cents;
}

/// Looks for a fall and rise of the level inside the sounding note.
bool NoteTracker::stroke(Boundary& at) const noexcept {
    const Moment& now = recent(0);
    double lowest_db = now.smooth_db;
    double before_db = kSilenceDb;
    double lowest_s = now.time_s;
    std::size_t back = 1;
    for (; back < moments_.known(); ++back) {
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
    const bool again =
        listens_into_ring() &&
        expected_.again(formed_cents_, settings_.short_notes.expected_cents, lowest_s - start_s_);
    const auto new_sound = again && now.smooth_db > note_db() - settings_.bridge_loud_db
                               ? struck(lowest_s - kOnsetReachS, lowest_s + kOnsetReachS)
                               : std::nullopt;
    const bool reported = (onset_s_ > start_s_ + settings_.shortest_note_s &&
                           std::abs(onset_s_ - lowest_s) <= kOnsetReachS) ||
                          new_sound;
    const double needed_db = reported ? settings_.dip_with_onset_db : settings_.dip_db;
    const bool fell = before_db - lowest_db >= needed_db;
    const bool rose = now.smooth_db - lowest_db >= needed_db;
    if (!fell || !rose || now.smooth_db < before_db - settings_.stroke_below_db) {
        return false;
    }
    const double depth_db = std::min(before_db, now.smooth_db) - lowest_db;
    if (tongued_ && lowest_s - start_s_ < settings_.first_piece_s &&
        depth_db < settings_.first_dip_db && !came_back_after(lowest_s)) {
        return false;
    }
    at.start_s = onset_near(lowest_s, new_sound.value_or(lowest_s));
    at.end_s = std::min(at.start_s, lowest_s);
    return true;
}

/// Looks for a slur: another note, settled.
bool NoteTracker::change(Boundary& at) const noexcept {
    const Settled reached = settled();
    const double middle = middle_cents(reached.since_s);
    const Candidate* old = named(middle);
    // A note that is asked for may wobble widely.
    const double change_cents = expected_.near(middle, kNearAsked_cents)
                                    ? std::max(settings_.change_cents, kAskedChange_cents)
                                    : settings_.change_cents;
    if (!reached.yes || !reached.one_note || old == nullptr ||
        recent(0).note.written == old->note.written ||
        std::abs(reached.cents - middle) < change_cents ||
        (!room_.open() && mistaken_now(reached.cents, middle))) {
        return false;
    }
    if (recent(0).smooth_db < note_db() - settings_.slur_below_db) {
        return false;
    }
    at = boundary_to(reached);
    // Where nothing rings lips do slip an octave in a slur, but not so soon.
    return at.start_s - start_s_ >= settings_.mistaken_s || !mistaken_now(reached.cents, middle);
}

/// Where the pitch crossed the middle between the old and the new note; from the judged pitch, whose times are those of
/// the sound, when it reaches that far, else from the live one.
NoteTracker::Boundary NoteTracker::boundary_to(const Settled& reached) const noexcept {
    const double middle = 0.5 * (middle_cents(reached.since_s) + reached.cents);
    const bool up = reached.cents > middle;
    const auto is_new = [middle, up](double cents) { return (cents > middle) == up; };

    double first_new_s = recent(0).time_s;
    double last_old_s = start_s_;
    double judged_new_s = 0.0;
    for (std::size_t back = 0; back < moments_.known(); ++back) {
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
    // In a room the old note is still heard while the new one has begun.
    const double since_s =
        std::max({start_s_ + settings_.attack_s,
                  first_new_s - settings_.rise_unheard_s,
                  last_calm_s(first_new_s, middle_cents(reached.since_s)) - kCalmMayRing_s});
    const bool may_ring = expected_.any() && !room_.open();
    const auto rise_s = may_ring ? first_risen(since_s, first_new_s) : std::nullopt;
    start_s = rise_s ? std::min(*rise_s, start_s) : start_s;
    return {gapless ? start_s : std::min(last_old_s, start_s), start_s};
}

/// The pitch of a note is seen for a window after its end.
double NoteTracker::fall_before(double end_s) const noexcept {
    const std::size_t known = moments_.known();
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

/// The pitch of a new note is seen a window late, its level at once. The smoothed level looks back only, so that it
/// comes up through a tenth of the power as soon as a tenth of its window sounds. A scoop thins on its way into the note
/// and comes up once more: the rise nearest to the place where the pitch was seen is the beginning.
double NoteTracker::rise_near(double start_s) const noexcept {
    const std::size_t known = moments_.known();
    double peak_db = kSilenceDb;
    for (std::size_t back = 0; back < known && recent(back).time_s >= start_s; ++back) {
        peak_db = std::max(peak_db, recent(back).smooth_db);
    }
    const double threshold_db = peak_db - settings_.rise_db;
    const double earliest_s =
        std::max(start_s - settings_.rise_before_s, latest_.start_s + latest_.duration_s);
    double nearest_s = start_s;
    double off_s = settings_.rise_after_s;
    for (std::size_t back = 0; back + 1 < known && recent(back).time_s > earliest_s; ++back) {
        const Moment& after = recent(back);
        const Moment& before = recent(back + 1);
        if (after.smooth_db >= threshold_db && before.smooth_db < threshold_db &&
            std::abs(after.time_s - start_s) <= off_s) {
            off_s = std::abs(after.time_s - start_s);
            nearest_s = before.time_s;
        }
    }
    return nearest_s;
}

} // namespace bellhand::trainer
