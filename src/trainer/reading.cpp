#include "trainer/reading.h"

#include "core/cents.h"

#include <algorithm>

namespace bellhand::trainer {

namespace {

constexpr int kHighestPartial = 24;
constexpr double kOpenSdCents = 25.0;
constexpr double kStoppedSdCents = 40.0; // a hand position is less certain than a resonance
constexpr double kStoppedWeight = 0.7;
constexpr double kRareWeight = 0.3;

double weight_of_partial(int partial) {
    const bool usual = partial >= 2 && partial <= 16;
    return usual ? 1.0 : kRareWeight;
}

void add_peak(pitch::PitchPrior& prior, double f0_hz, double sd_cents, double weight) {
    if (prior.count < pitch::PitchPrior::kMaxPeaks) {
        prior.peaks[static_cast<std::size_t>(prior.count++)] = {f0_hz, sd_cents, weight};
    }
}

} // namespace

Reader::Reader(const horn::Tuning& tuning) : tuning_(tuning) {
    static_cast<void>(horn::hand_chart()); // built here, so that read() never allocates
}

void Reader::set_tuning(const horn::Tuning& tuning) noexcept {
    tuning_ = tuning;
    last_.reset();
    whole_horn_cents_ = 0.0;
}

std::optional<horn::NoteReading>
Reader::named(double f0_hz, std::optional<horn::Note> staying_on) const noexcept {
    const auto note =
        horn::read_pitch(f0_hz / ratio_of_cents(whole_horn_cents_), tuning_, staying_on);
    return note && whole_horn_cents_ != 0.0 ? horn::read_against(f0_hz, tuning_, note->written)
                                            : note;
}

Reading Reader::read(const pitch::PitchFrame& frame) noexcept {
    Reading reading;
    reading.frame = frame;
    if (!frame.voiced || !(frame.f0_hz > 0.0)) {
        last_.reset();
        return reading;
    }
    const std::optional<horn::NoteReading> note = named(frame.f0_hz, last_);
    if (!note) {
        last_.reset();
        return reading;
    }
    last_ = note->written;
    reading.has_note = true;
    reading.whole_horn_cents = whole_horn_cents_;
    reading.note = reading.judged_note = *note;
    if (frame.judged_hz > 0.0) {
        reading.judged_cents = cents_between(frame.judged_hz, note->target_hz);
        // What is judged owes nothing to the reading that the eye should not see flicker.
        reading.judged_note = named(frame.judged_hz, std::nullopt).value_or(*note);
    }
    return reading;
}

pitch::PitchPrior prior_for(const horn::Tuning& tuning) {
    pitch::PitchPrior prior;
    const double f1_hz = horn::fundamental_hz(tuning);
    for (int partial = 1; partial <= kHighestPartial; ++partial) {
        add_peak(prior, partial * f1_hz, kOpenSdCents, weight_of_partial(partial));
    }
    for (const horn::ChartEntry& entry : horn::hand_chart()) {
        if (entry.ways.empty() || entry.ways.front().hand == horn::Hand::open) {
            continue; // at its partial already
        }
        const horn::HandWay& usual = entry.ways.front();
        add_peak(prior,
                 horn::target_hz(entry.written, tuning),
                 kStoppedSdCents,
                 usual.poor ? kRareWeight
                            : std::min(kStoppedWeight, weight_of_partial(usual.partial)));
    }
    return prior;
}

} // namespace bellhand::trainer
