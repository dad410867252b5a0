// The figures of one note: the part of NoteTracker that turns what was counted into a PlayedNote.
#include "core/cents.h"
#include "trainer/note_tracker.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr std::uint32_t kEnoughHeld = 6; // judged values that make a median and percentiles
constexpr double kShortHeldFrom = 0.4;   // of a note without a held part, what is judged
constexpr double kRatio_cents = 40.0;
constexpr double kRingsOn_s = 1.0;
constexpr double kStep_cents = 250.0;

/// Quantile of a few values, between the two nearest (sorts them).
double quantile(double* first, std::size_t count, double share) noexcept {
    std::sort(first, first + count);
    const double place = share * static_cast<double>(count - 1);
    const auto below = static_cast<std::size_t>(place);
    const std::size_t above = std::min(below + 1, count - 1);
    return first[below] + (place - static_cast<double>(below)) * (first[above] - first[below]);
}

} // namespace

void NoteTracker::figures(double end_s, PlayedNote& out) const noexcept {
    Middle middle;
    if (pitches_.size() >= kEnoughHeld) {
        middle.cents = pitches_.quantile(0.5);
        middle.spread_cents = 0.5 * (pitches_.quantile(0.84) - pitches_.quantile(0.16));
    } else {
        middle = middle_of_short_note(end_s);
    }
    // The pitch says what the note is called, never the other way round.
    const horn::NoteReading note = named(middle.cents)->note;
    const double target_cents = cents_between(note.target_hz, 1.0);
    out = PlayedNote{};
    out.index = next_index_;
    out.start_s = start_s_;
    out.duration_s = end_s - start_s_;
    out.written = note.written;
    out.partial = note.partial;
    out.hand = note.hand;
    out.target_hz = note.target_hz;
    out.deviation_cents = middle.cents - target_cents;
    out.spread_cents = middle.spread_cents;
    out.f0_hz = ratio_of_cents(middle.cents);
    out.attack_cents = attack_cents(target_cents, middle.cents);
    const bool held = held_power_count_ > 0;
    const double power = held ? held_power_sum_ / held_power_count_
                              : power_sum_ / std::max<std::uint32_t>(1, power_count_);
    out.level_dbfs = decibels(power);
    out.in_ringing_room = room_.rings();
    out.start_unsure = start_unsure_;
}

/// Of a note that ended before its attack was over, or just after: what there is of it, its first part left out.
NoteTracker::Middle NoteTracker::middle_of_short_note(double end_s) const noexcept {
    std::array<double, kEarly> cents{};
    std::size_t count = 0;
    for (std::size_t i = 0; i < early_count_; ++i) {
        if (early_[i].time_s >= start_s_ + kShortHeldFrom * (end_s - start_s_) &&
            early_[i].time_s <= end_s) {
            cents[count++] = early_[i].cents;
        }
    }
    if (count == 0) {
        return {formed_cents_, 0.0};
    }
    return {quantile(cents.data(), count, 0.5),
            0.5 * (quantile(cents.data(), count, 0.84) - quantile(cents.data(), count, 0.16))};
}

/// What the ear reads in the first moments that is not this note: it in a small ratio, or the note before, which still
/// sounds in the room.
bool NoteTracker::not_of_attack(double cents, double middle_cents) const noexcept {
    const double off = std::abs(cents - middle_cents);
    for (const double ratio_cents : {1200.0, 1901.96, 2400.0, 701.96}) {
        if (std::abs(off - ratio_cents) < kRatio_cents) {
            return true;
        }
    }
    const double latest_cents = cents_between(std::max(latest_.f0_hz, 1.0), 1.0);
    if (!(off > kRatio_cents) || start_s_ - (latest_.start_s + latest_.duration_s) > kRingsOn_s) {
        return false;
    }
    // A step away the two are read as one pitch that lies between them.
    const double step = latest_cents - middle_cents;
    const bool between = in_ring_ && std::abs(step) < kStep_cents &&
                         (cents - middle_cents) * step > 0.0 && off < std::abs(step);
    return between || std::abs(cents - latest_cents) < kRatio_cents;
}

/// Median over the time of the attack. The ear judges nothing while a pitch moves, so that the values lie unevenly: each
/// moment has the value judged nearest to it.
double NoteTracker::attack_cents(double target_cents, double middle_cents) const noexcept {
    struct Stretch {
        double cents = 0.0;
        double length_s = 0.0;
    };
    std::array<Stretch, kEarly> stretches{};
    std::size_t count = 0;
    double whole_s = 0.0;
    const double end_s = start_s_ + settings_.attack_s;
    double from_s = start_s_;
    for (std::size_t i = 0; i < early_count_ && from_s < end_s; ++i) {
        if (not_of_attack(early_[i].cents, middle_cents)) {
            continue;
        }
        const double to_s =
            i + 1 < early_count_ ? 0.5 * (early_[i].time_s + early_[i + 1].time_s) : end_s;
        const double length_s = std::min(to_s, end_s) - from_s;
        stretches[count++] = {early_[i].cents, length_s};
        whole_s += length_s;
        from_s = to_s;
    }
    if (count == 0) {
        return middle_cents - target_cents;
    }
    std::sort(stretches.begin(),
              stretches.begin() + static_cast<std::ptrdiff_t>(count),
              [](const Stretch& one, const Stretch& other) { return one.cents < other.cents; });
    double sum_s = 0.0;
    std::size_t at = 0;
    while (at + 1 < count && sum_s + stretches[at].length_s < 0.5 * whole_s) {
        sum_s += stretches[at++].length_s;
    }
    return stretches[at].cents - target_cents;
}

} // namespace bellhand::trainer
