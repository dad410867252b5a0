// The figures of one note: the part of NoteTracker that turns what was counted into a PlayedNote.
#include "core/cents.h"
#include "trainer/note_tracker.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr std::uint32_t kEnoughHeld = 6; // judged values that make a median and percentiles
constexpr double kShortHeldFrom = 0.4;   // of a note without a held part, what is judged

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
    const Candidate* note = winner();
    out = PlayedNote{};
    out.index = next_index_;
    out.start_s = start_s_;
    out.duration_s = end_s - start_s_;
    out.written = note->note.written;
    out.partial = note->note.partial;
    out.hand = note->note.hand;
    out.target_hz = note->note.target_hz;
    const double target_cents = cents_between(out.target_hz, 1.0);
    if (pitches_.size() >= kEnoughHeld) {
        out.deviation_cents = pitches_.quantile(0.5) - target_cents;
        out.spread_cents = 0.5 * (pitches_.quantile(0.84) - pitches_.quantile(0.16));
    } else {
        figures_of_short_note(end_s, out);
    }
    out.f0_hz = out.target_hz * ratio_of_cents(out.deviation_cents);
    out.attack_cents = attack_cents(target_cents, out.deviation_cents);
    const bool held = held_power_count_ > 0;
    const double power = held ? held_power_sum_ / held_power_count_
                              : power_sum_ / std::max<std::uint32_t>(1, power_count_);
    out.level_dbfs = decibels(power);
}

/// A note that ended before its attack was over, or just after: what there is of it, its first part left out.
void NoteTracker::figures_of_short_note(double end_s, PlayedNote& out) const noexcept {
    const double target_cents = cents_between(out.target_hz, 1.0);
    std::array<double, kEarly> cents{};
    std::size_t count = 0;
    for (std::size_t i = 0; i < early_count_; ++i) {
        if (early_[i].time_s >= start_s_ + kShortHeldFrom * (end_s - start_s_) &&
            early_[i].time_s <= end_s) {
            cents[count++] = early_[i].cents;
        }
    }
    if (count == 0) {
        out.deviation_cents = formed_cents_ - target_cents;
        return;
    }
    out.deviation_cents = quantile(cents.data(), count, 0.5) - target_cents;
    out.spread_cents =
        0.5 * (quantile(cents.data(), count, 0.84) - quantile(cents.data(), count, 0.16));
}

/// Median over the time of the attack. The ear judges nothing while a pitch moves, so that the values lie unevenly: each
/// moment has the value judged nearest to it.
double NoteTracker::attack_cents(double target_cents, double otherwise) const noexcept {
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
        const double to_s =
            i + 1 < early_count_ ? 0.5 * (early_[i].time_s + early_[i + 1].time_s) : end_s;
        const double length_s = std::min(to_s, end_s) - from_s;
        stretches[count++] = {early_[i].cents, length_s};
        whole_s += length_s;
        from_s = to_s;
    }
    if (count == 0) {
        return otherwise;
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
