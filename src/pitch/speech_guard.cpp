#include "pitch/speech_guard.h"

#include <algorithm>
#include <cmath>

namespace bellhand::pitch {

namespace {

constexpr double kFirst_s = 0.02;     // the beginning, when the reading itself still settles
constexpr double kSlide_cents = 80.0; // a syllable covers more than this
constexpr double kSyllable_s = 0.45;  // and lasts no longer
constexpr double kShortest_s = 0.04;
constexpr double kStood_s =
    0.12; // what stood still for so long was a note, slurred to the next perhaps
constexpr double kBroken = 0.4; // between syllables the sound hardly repeats
constexpr int kBreak_hops = 3;
constexpr int kSpeech = 2; // syllables that make speech
constexpr double kForget_s = 2.0;
constexpr double kStill_cents = 12.0;        // over the last four hops: 600 cents a second
constexpr double kStood_cents_per_s = 250.0; // over the stretch in which the pitch was found
constexpr double kSteady_cents = 35.0;       // how far a steady pitch strays
constexpr double kSteadyInSpeech_s = 0.16;
constexpr double kNote_s = 0.3;      // steady that long, it was no speech
constexpr double kFirm_cents = 10.0; // a short note stands firmer than any syllable
constexpr double kFirm_s = 0.14;

} // namespace

void SpeechGuard::begin(bool slurred) noexcept {
    if (slurred)
        weigh();
    const bool keep = slurred && shown_ && syllables_ < kSpeech;
    if (quiet_s_ > kForget_s)
        syllables_ = 0;
    quiet_s_ = age_s_ = steady_s_ = longest_steady_s_ = firm_s_ = longest_firm_s_ = 0.0;
    low_ = 1e9;
    high_ = -1e9;
    shown_ = keep;
}

bool SpeechGuard::follow(double cents, double repeats, double slope_cents_per_s) noexcept {
    broken_hops_ = repeats < kBroken ? broken_hops_ + 1 : 0;
    if (broken_hops_ == kBreak_hops || age_s_ > kSyllable_s)
        begin(true);
    age_s_ += hop_s_;
    if (age_s_ <= hop_s_ * 1.5) {
        recent_.fill(cents);
        anchor_ = firm_anchor_ = cents;
    }
    std::copy_backward(recent_.begin(), recent_.end() - 1, recent_.end());
    recent_[0] = cents;
    if (age_s_ > kFirst_s) {
        low_ = std::min(low_, cents);
        high_ = std::max(high_, cents);
    }
    if (std::abs(cents - anchor_) > kSteady_cents || broken_hops_ == kBreak_hops) {
        anchor_ = cents;
        steady_s_ = 0.0;
    }
    steady_s_ += hop_s_;
    longest_steady_s_ = std::max(longest_steady_s_, steady_s_);
    if (std::abs(cents - firm_anchor_) > kFirm_cents) {
        firm_anchor_ = cents;
        firm_s_ = 0.0;
    }
    firm_s_ += hop_s_;
    longest_firm_s_ = std::max(longest_firm_s_, firm_s_);
    if (steady_s_ > kNote_s && broken_hops_ == 0)
        syllables_ = 0;
    const bool speech = syllables_ >= kSpeech;
    const bool stood = std::abs(slope_cents_per_s) < kStood_cents_per_s;
    const bool still = stood || (age_s_ > 2.5 * hop_s_ &&
                                 std::abs(recent_.front() - recent_.back()) < kStill_cents);
    if (speech ? steady_s_ > kSteadyInSpeech_s : still)
        shown_ = true;
    return shown_;
}

void SpeechGuard::end() noexcept {
    weigh();
    shown_ = false;
    age_s_ = 0.0;
}

void SpeechGuard::weigh() noexcept {
    if (age_s_ > kShortest_s && age_s_ < kSyllable_s + 2.0 * hop_s_ &&
        high_ - low_ > kSlide_cents && longest_steady_s_ < kStood_s)
        syllables_ = std::min(syllables_ + 1, 2 * kSpeech);
    else if (longest_firm_s_ > kFirm_s)
        syllables_ = std::max(syllables_ - 1, 0);
}

} // namespace bellhand::pitch
