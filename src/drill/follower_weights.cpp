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
constexpr double kFreeMiss = 0.4; // a miss is often given up early

} // namespace

void Follower::group_alike() {
    const auto group = [this](Kinds& kinds, const auto& key_of) {
        std::map<decltype(key_of(plan_.front())), std::uint32_t> known;
        for (std::uint32_t step = 0; step < n_; ++step) {
            const auto kind = static_cast<std::uint32_t>(known.size());
            const auto [found, is_new] = known.try_emplace(key_of(plan_[step]), kind);
            if (is_new) {
                kinds.first.push_back(step);
            }
            kinds.of.push_back(found->second);
        }
    };
    group(pitches_, [](const Asked& asked) {
        return std::tuple(asked.target_hz,
                          asked.other_hz.value_or(0.0),
                          asked.other_partials_hz,
                          asked.other_hands_hz);
    });
    group(lengths_, [](const Asked& asked) { return asked.quarters; });
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
    }
}

/// Of a length under what is written, per natural logarithm; where nothing is known of lengths, the same for all.
double Follower::length_density(double quarters, double duration_s, double free_share) const {
    const auto bell = [](double off, double sd) {
        return std::exp(-0.5 * (off / sd) * (off / sd)) / (sd * std::sqrt(2.0 * std::numbers::pi));
    };
    if (tempo_notes_ < kTempoNotes || !(quarters > 0.0) || !(duration_s > 0.0)) {
        return std::log(bell(0.0, kFreeLengthSd));
    }
    const double off = std::log(duration_s / quarters) - log_quarter_;
    return std::log((1.0 - free_share) * bell(off, kLengthSd) +
                    free_share * bell(off, kFreeLengthSd));
}

} // namespace bellhand::drill
