#include "practice/analysis.h"

#include "trainer/tolerance.h"

#include <span>

namespace bellhand::practice {

Analysis::Analysis(const horn::Tuning& tuning) : reader_(tuning) {
    hand_.set_horn(
        horn::hand_response(tuning), hand::modelled_trust(), horn::fundamental_hz(tuning));
}

void Analysis::set_hand(const OwnHand& own) {
    hand_.set_horn(own.response, own.trust, horn::fundamental_hz(reader_.tuning()));
    if (!own.open_notes.empty()) {
        hand_.learn_own_notes(own.open_notes);
    }
}

Result<void> Analysis::take_stream(const audio::Block& block) {
    stream_ = block.stream;
    sample_rate_hz_ = block.sample_rate_hz;
    next_sample_ = block.first_sample;
    estimator_.reset();
    auto estimator =
        pitch::make_estimator({.sample_rate_hz = block.sample_rate_hz, .start_time_s = elapsed_s_});
    if (!estimator) {
        return tl::unexpected(estimator.error());
    }
    estimator_ = std::move(*estimator);
    hand_.new_stream(block.sample_rate_hz);
    estimator_->set_prior(trainer::prior_for(reader_.tuning()));
    return {};
}

double Analysis::start_of(const audio::Block& block) const noexcept {
    const bool same_stream =
        stream_ && *stream_ == block.stream && block.sample_rate_hz == sample_rate_hz_;
    return same_stream && block.first_sample > next_sample_
               ? elapsed_s_ +
                     static_cast<double>(block.first_sample - next_sample_) / sample_rate_hz_
               : elapsed_s_;
}

Result<void> Analysis::feed(const audio::Block& block, AnalysisSink& sink) {
    if (!stream_ || *stream_ != block.stream || block.sample_rate_hz != sample_rate_hz_) {
        if (auto taken = take_stream(block); !taken) {
            return taken;
        }
    }
    if (!estimator_) {
        return {};
    }
    if (block.first_sample > next_sample_) {
        const std::uint64_t lost = block.first_sample - next_sample_;
        estimator_->gap(lost);
        dropped_samples_ += lost;
        elapsed_s_ += static_cast<double>(lost) / sample_rate_hz_;
    }
    next_sample_ = block.first_sample + block.count;
    elapsed_s_ += static_cast<double>(block.count) / sample_rate_hz_;

    std::span<const float> samples(block.samples.data(), block.count);
    pitch::PitchFrame frame;
    while (!samples.empty()) {
        const std::size_t used = estimator_->push(samples);
        hand_.push(samples.first(used));
        samples = samples.subspan(used);
        bool any = false;
        while (estimator_->frame(frame)) {
            any = true;
            hear(frame, sink);
        }
        if (used == 0 && !any) {
            break; // an estimator that takes nothing and gives nothing: never spin on it
        }
    }
    return {};
}

void Analysis::hear(const pitch::PitchFrame& frame, AnalysisSink& sink) {
    trainer::Reading reading = reader_.read(frame);
    reading.frame.dropped_samples = dropped_samples_;
    reading.hand = hand_.hear(reading.frame);
    const bool ended = tracker_.add(reading);
    sink.reading(reading);
    if (ended) {
        hand_over(tracker_.ended(), sink);
    }
}

void Analysis::hand_over(trainer::PlayedNote note, AnalysisSink& sink) {
    note.tolerance_factor = tolerance_factor_;
    if (!note.pitch_known()) { // nor then is the hand, or the way from the note before
        sink.note(note, reader_.tuning());
        return;
    }
    note.heard = hand_.note({note.start_s,
                             note.duration_s,
                             note.f0_hz,
                             note.attack_cents,
                             note.target_hz,
                             note.tolerance_factor * trainer::tolerance_cents(note.hand),
                             note.written,
                             note.spread_cents});
    reader_.set_whole_horn_off(note.heard.common_cents);
    sink.note(note, reader_.tuning());
}

void Analysis::finish(AnalysisSink& sink) {
    while (tracker_.finish()) {
        hand_over(tracker_.ended(), sink);
    }
}

void Analysis::set_tuning(const horn::Tuning& tuning, AnalysisSink& sink) {
    finish(sink);
    reader_.set_tuning(tuning);
    hand_.set_horn(
        horn::hand_response(tuning), hand::modelled_trust(), horn::fundamental_hz(tuning));
    if (estimator_) {
        estimator_->set_prior(trainer::prior_for(tuning));
    }
}

} // namespace bellhand::practice
