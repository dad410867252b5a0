#include "drill/follower.h"
#include "drill/relation.h"

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
/// In a part single notes are left out so many times as often as in daily work: they do not speak, and their time passes,
/// or they are jumped over.
constexpr double kDidNotSpeak = 24.0;
constexpr double kJumpedOver = 8.0;
constexpr double kLeastRest = 0.05;  // quarters
constexpr double kSpanKinds = 100.0; // so many in a quarter

double bell(double off, double sd) noexcept {
    return std::exp(-0.5 * (off / sd) * (off / sd)) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

/// Quarters from the beginning of the note `before` places earlier to the beginning of a step.
struct Span {
    double quarters = -1.0; ///< -1: nobody knows
    bool rest = false;
};

Span written_span(const std::vector<Asked>& plan, std::uint32_t step, std::uint32_t before) {
    if (step < before) {
        return {};
    }
    Span span{plan[step].at_quarters - plan[step - before].at_quarters, false};
    for (std::uint32_t at = step - before + 1; at <= step; ++at) {
        const Asked& from = plan[at - 1];
        if (plan[at].waited || !(from.quarters > 0.0)) {
            return {};
        }
        span.rest =
            span.rest || plan[at].at_quarters - from.at_quarters - from.quarters > kLeastRest;
    }
    return span;
}

} // namespace

void Follower::group_alike() {
    const auto group_steps = [this](Kinds& kinds, const auto& key_of) {
        std::map<decltype(key_of(std::uint32_t{0})), std::uint32_t> known;
        for (std::uint32_t step = 0; step < n_; ++step) {
            const auto kind = static_cast<std::uint32_t>(known.size());
            const auto [found, is_new] = known.try_emplace(key_of(step), kind);
            if (is_new) {
                kinds.first.push_back(step);
            }
            kinds.of.push_back(found->second);
        }
    };
    const auto group = [&](Kinds& kinds, const auto& key_of) {
        group_steps(kinds, [&](std::uint32_t step) { return key_of(plan_[step]); });
    };
    for (std::uint32_t before = 1; before <= 2; ++before) {
        group_steps(before == 1 ? spans_ : spans_left_out_, [&](std::uint32_t step) {
            const Span span = written_span(plan_, step, before);
            return std::pair(std::lround(kSpanKinds * span.quarters), span.rest);
        });
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
    span_weights_.resize(spans_.first.size());
    span_left_out_weights_.resize(spans_left_out_.first.size());
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

/// Against a time that may be any: so it is where a player goes anywhere else.
void Follower::weigh_spans(const Sound& sound) const {
    const bool known = sound.gap_s && heard_ > 0 && beat_notes_ >= kTempoNotes;
    const double last_s = heard_ > 0 ? durations_s_[(heard_ - 1) % kHistory] : 0.0;
    const double log_span = std::log(std::max(last_s + sound.gap_s.value_or(0.0), 0.01));
    const double any = bell(log_span - std::log(kAnySpan_s), kAnySpanSd);
    const auto weight = [&](const Span& span, double as_written, double otherwise) {
        if (!known || !(span.quarters > 0.0)) {
            return 0.0;
        }
        const double off = log_span - std::log(span.quarters) - log_beat_;
        const double near = bell(off, span.rest ? kRestSd : kSpanSd);
        return std::log(as_written * near + otherwise * any) - std::log(any);
    };
    for (std::size_t kind = 0; kind < span_weights_.size(); ++kind) {
        span_weights_[kind] =
            weight(written_span(plan_, spans_.first[kind], 1), kAsWritten, 1.0 - kAsWritten);
    }
    for (std::size_t kind = 0; kind < span_left_out_weights_.size(); ++kind) {
        span_left_out_weights_[kind] =
            weight(written_span(plan_, spans_left_out_.first[kind], 2), kDidNotSpeak, kJumpedOver);
    }
}

double Follower::span_weight(std::uint32_t step) const noexcept {
    return span_weights_[spans_.of[step]];
}

double Follower::span_left_out_weight(std::uint32_t step) const noexcept {
    return span_left_out_weights_[spans_left_out_.of[step]];
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
