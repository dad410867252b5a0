#include "desk/model/held_note.h"

#include <algorithm>

namespace bellhand::desk {

namespace {

constexpr double kPales_s = 0.25; // so long after its last sure moment a note still looks sounding

} // namespace

void HeldNote::fall_silent() noexcept {
    candidate_.reset();
    if (shown_) {
        shown_->sounding = false;
    }
}

void HeldNote::clear() noexcept {
    shown_.reset();
    candidate_.reset();
    sample_count_ = 0;
}

void HeldNote::add(const trainer::Reading& reading) noexcept {
    if (reading.has_note) {
        consider(reading);
    } else {
        candidate_.reset();
    }
    // Between slurred notes nothing pales: that would only flicker.
    if (shown_ && reading.frame.time_s - last_heard_s_ > kPales_s) {
        shown_->sounding = false;
    }
    if (shown_ && shown_->sounding) {
        shown_->sure = reading.frame.time_s - last_sure_s_ <= kPales_s;
    }
}

void HeldNote::consider(const trainer::Reading& reading) noexcept {
    const double now_s = reading.frame.time_s;
    const bool new_sound = !candidate_ || !(*candidate_ == reading.note.written);
    if (new_sound) {
        candidate_ = reading.note.written;
        candidate_since_s_ = now_s;
        sample_count_ = 0;
    }
    collect(reading);

    const bool is_shown = shown_ && shown_->note.written == reading.note.written;
    if (is_shown) {
        last_heard_s_ = now_s;
        last_sure_s_ = reading.frame.doubtful ? last_sure_s_ : now_s;
    }
    if (is_shown && shown_->sounding) {
        if (now_s - figure_at_s_ >= times_.figure_s) {
            if (const auto cents = median_of_recent(now_s, true)) {
                shown_->note.deviation_cents = *cents;
                figure_at_s_ = now_s;
            }
        }
        return;
    }
    const bool settled = now_s - candidate_since_s_ >= times_.settle_s;
    const bool held_long_enough =
        !shown_ || is_shown || now_s - shown_->shown_since_s >= times_.hold_s;
    if (settled && held_long_enough) {
        const std::optional<double> sure_cents = median_of_recent(now_s, true);
        shown_ = ShownNote{reading.note, true, sure_cents.has_value(), now_s};
        shown_->note.deviation_cents =
            sure_cents ? *sure_cents
                       : median_of_recent(now_s, false).value_or(reading.note.deviation_cents);
        figure_at_s_ = now_s;
        last_heard_s_ = now_s;
        last_sure_s_ = sure_cents ? now_s : now_s - 2.0 * kPales_s;
    }
}

void HeldNote::ended(const trainer::PlayedNote& played) noexcept {
    const bool still_heard = candidate_ && *candidate_ == played.written;
    if (shown_ && !still_heard && shown_->note.written == played.written) {
        shown_->note.deviation_cents = played.deviation_cents;
    }
}

void HeldNote::collect(const trainer::Reading& reading) noexcept {
    samples_[sample_count_ % kSamples] = {
        reading.frame.time_s, reading.note.deviation_cents, !reading.frame.doubtful};
    ++sample_count_;
}

std::optional<double> HeldNote::median_of_recent(double now_s, bool sure) const noexcept {
    std::array<double, kSamples> recent;
    std::size_t count = 0;
    const std::size_t available = std::min(sample_count_, kSamples);
    for (std::size_t back = 1; back <= available; ++back) {
        const Sample& sample = samples_[(sample_count_ - back) % kSamples];
        if (now_s - sample.time_s > times_.figure_s) {
            break;
        }
        if (sample.sure || !sure) {
            recent[count++] = sample.cents;
        }
    }
    if (count == 0) {
        return std::nullopt;
    }
    const auto middle = recent.begin() + static_cast<std::ptrdiff_t>(count / 2);
    std::nth_element(recent.begin(), middle, recent.begin() + static_cast<std::ptrdiff_t>(count));
    return *middle;
}

} // namespace bellhand::desk
