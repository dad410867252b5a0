#include "drill/follower.h"
#include "drill/relation.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <tuple>

namespace bellhand::drill {

namespace {

// Lengths, as natural logarithms of played over written: most notes, and those that are cut short or held on.
constexpr double kLengthSd = 0.20;
constexpr double kFreeLengthSd = 0.9;
constexpr double kFreeRight = 0.1;
constexpr double kFreeMiss = 0.4;      // a miss is often given up early
constexpr double kFermataLonger = 0.5; // e to the power of this

// From one beginning to the next, as natural logarithms against what is written; where a player goes elsewhere it may be any.
constexpr double kSpanSd = 0.15;
constexpr double kRestSd = 0.40; // two in three within 40 per cent
constexpr double kAnySpan_s = 0.8;
constexpr double kAnySpanSd = 1.2;
constexpr double kAsWritten = 0.95;
/// In a part single notes are left out so many times as often as in daily work: they do not speak, and their time passes;
/// they are jumped over; nothing of the time is kept.
constexpr double kDidNotSpeak = 60.0;
constexpr double kJumpedOver = 12.0;
constexpr double kOutOfTime = 8.0;
// The tempo of a player, as natural logarithms against what is said.
constexpr double kSaidTempoSd = 0.3;
constexpr double kUnsaidTempoSd = 0.8;
/// Of a note's variance: a sixth of what it tells is taken over at least.
constexpr double kLeastVariance = 0.2;
constexpr double kMostOff = 3.0;    // standard deviations; what is further off tells no more
constexpr double kLeastRest = 0.05; // quarters

double bell(double off, double sd) noexcept {
    return std::exp(-0.5 * (off / sd) * (off / sd)) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

} // namespace

Follower::Span Follower::written_span(std::uint32_t from, std::uint32_t to) const noexcept {
    const double quarters = plan_[to].at_quarters - plan_[from].at_quarters;
    Span span{std::log(std::max(quarters, 1e-3)), quarters > 0.0, false};
    for (std::uint32_t at = from + 1; at <= to; ++at) {
        const Asked& before = plan_[at - 1];
        span.known = span.known && !plan_[at].waited && before.quarters > 0.0;
        span.rest =
            span.rest || plan_[at].at_quarters - before.at_quarters - before.quarters > kLeastRest;
    }
    return span;
}

void Follower::group_alike() {
    const auto group = [this](Kinds& kinds, const auto& key_of) {
        std::map<decltype(key_of(plan_[0])), std::uint32_t> known;
        for (std::uint32_t step = 0; step < n_; ++step) {
            const auto kind = static_cast<std::uint32_t>(known.size());
            const auto [found, is_new] = known.try_emplace(key_of(plan_[step]), kind);
            if (is_new) {
                kinds.first.push_back(step);
            }
            kinds.of.push_back(found->second);
        }
    };
    for (std::uint32_t left_out = 0; left_out <= kTimedSkip; ++left_out) {
        spans_[left_out].resize(n_);
        for (std::uint32_t step = left_out + 1; step < n_; ++step) {
            spans_[left_out][step] = written_span(step - left_out - 1, step);
        }
    }
    group(pitches_, [](const Asked& asked) {
        return std::tuple(asked.target_hz,
                          asked.other_hz.value_or(0.0),
                          asked.other_partials_hz,
                          asked.other_hands_hz);
    });
    group(lengths_, [](const Asked& asked) { return std::tuple(asked.quarters, asked.fermata); });
    pitch_weights_.resize(pitches_.first.size());
    sounding_weights_.resize(pitches_.first.size());
    length_weights_.resize(lengths_.first.size());
}

/// What the sound says of every kind of pitch and length.
void Follower::weigh(const Sound& sound) {
    for (std::size_t kind = 0; kind < pitch_weights_.size(); ++kind) {
        const Asked& asked = plan_[pitches_.first[kind]];
        pitch_weights_[kind] = {std::log(right_density(asked, sound.f0_hz)),
                                std::log(wrong_density(asked, sound.f0_hz)),
                                std::log(extra_density(asked, sound.f0_hz))};
    }
    for (std::size_t kind = 0; kind < length_weights_.size(); ++kind) {
        const double quarters = plan_[lengths_.first[kind]].quarters;
        length_weights_[kind] = {length_density(quarters, sound.duration_s, kFreeRight),
                                 length_density(quarters, sound.duration_s, kFreeMiss),
                                 length_density(quarters, sound.duration_s, 1.0)};
        if (plan_[lengths_.first[kind]].fermata) { // any length beyond what is written
            length_weights_[kind].right = length_weights_[kind].wrong =
                std::log(bell(std::log(std::max(sound.duration_s, 0.01) / std::max(quarters, 0.1)) -
                                  log_quarter_ - kFermataLonger,
                              kFreeLengthSd));
        }
    }
}

/// How well the tempo of a path is known after so many notes: a Kalman filter of one value, whose share ends at a sixth.
void Follower::doubt_beats(bool said) {
    double variance = said ? kSaidTempoSd * kSaidTempoSd : kUnsaidTempoSd * kUnsaidTempoSd;
    for (BeatDoubt& doubt : beat_doubts_) {
        for (const std::size_t rest : {0U, 1U}) {
            const double scatter = rest == 1 ? kRestSd : kSpanSd;
            const double whole = variance + scatter * scatter;
            doubt.sd[rest] = std::sqrt(whole);
            doubt.log_sd[rest] = 0.5 * std::log(2.0 * std::numbers::pi * whole);
            doubt.share[rest] = variance / whole;
        }
        variance = std::max(variance * (1.0 - doubt.share[0]), kSpanSd * kSpanSd * kLeastVariance);
    }
}

void Follower::take_span(const Sound& sound) const {
    log_span_.reset();
    if (sound.gap_s && heard_ > 0) {
        log_span_ = std::log(std::max(durations_s_[(heard_ - 1) % kHistory] + *sound.gap_s, 0.01));
        log_any_span_ = std::log(bell(*log_span_ - std::log(kAnySpan_s), kAnySpanSd));
    }
}

/// Natural logarithm; `log_span_` is known.
double Follower::span_density(const Span& span, const Beat& beat) const noexcept {
    const BeatDoubt& doubt = beat_doubts_[beat.notes];
    const double off = (*log_span_ - span.log_quarters - beat.log_s) / doubt.sd[span.rest];
    return -0.5 * off * off - doubt.log_sd[span.rest];
}

/// Against a time that may be any: so it is where a player goes anywhere else.
double Follower::span_weight(std::uint32_t from_state,
                             std::uint32_t step,
                             std::uint32_t left_out) const noexcept {
    if (!log_span_ || left_out > kTimedSkip || !spans_[left_out][step].known) {
        return 0.0;
    }
    const Beat& beat = beats_[from_state];
    const double passed = span_density(spans_[left_out][step], beat) - log_any_span_;
    if (left_out == 0) {
        return std::max(std::log(kAsWritten) + passed, std::log(1.0 - kAsWritten));
    }
    const double jumped = span_density(spans_[0][step - left_out], beat) - log_any_span_;
    return std::max(
        {std::log(kDidNotSpeak) + passed, std::log(kJumpedOver) + jumped, std::log(kOutOfTime)});
}

Follower::Beat Follower::beat_after(const Span& span, Beat beat) const noexcept {
    const BeatDoubt& doubt = beat_doubts_[beat.notes];
    const double off = *log_span_ - span.log_quarters - beat.log_s;
    const double most = kMostOff * doubt.sd[span.rest];
    beat.log_s += doubt.share[span.rest] * std::clamp(off, -most, most);
    beat.notes = std::min(beat.notes + 1U, kBeatNotes);
    return beat;
}

void Follower::carry_beats(const std::vector<From>& from) {
    std::swap(beats_, beats_before_);
    for (std::uint32_t state = 0; state < beats_.size(); ++state) {
        const std::uint32_t before = from[state].state;
        beats_[state] = beats_before_[before];
        const bool goes_on = !is_extra(state) && !is_extra(before) && !from[state].wrapped &&
                             place_after(before) == step_of(state);
        if (goes_on && log_span_ && spans_[0][step_of(state)].known) {
            beats_[state] = beat_after(spans_[0][step_of(state)], beats_[state]);
        }
    }
}

/// Of a length under what is written, per natural logarithm; where nothing is known of lengths, the same for all.
double Follower::length_density(double quarters, double duration_s, double free_share) const {
    if (tempo_notes_ < kTempoNotes || !(quarters > 0.0) || !(duration_s > 0.0)) {
        return std::log(bell(0.0, kFreeLengthSd));
    }
    const double off = std::log(duration_s / quarters) - log_quarter_;
    return std::log((1.0 - free_share) * bell(off, kLengthSd) +
                    free_share * bell(off, kFreeLengthSd));
}

} // namespace bellhand::drill
