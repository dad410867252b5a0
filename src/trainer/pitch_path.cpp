#include "trainer/pitch_path.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr double kNear_cents =
    60.0; // readings this near belong to one pitch: half a semitone, and a vibrato
constexpr double kRatio_cents = 35.0; // how near to a small ratio counts
constexpr double kMistaken =
    0.5; // what a reading in a small ratio says against a pitch, others say 1
constexpr double kChange = 5.0;   // cost of another pitch, in readings of full confidence
constexpr double kFollows = 0.05; // pace at which a state goes with a pitch that bends
constexpr std::array<double, 3> kSmallRatios_cents{1200.0, 1901.96, 2400.0};

double against(double state_cents, double heard_cents) noexcept {
    const double off = std::abs(heard_cents - state_cents);
    if (off <= kNear_cents) {
        return off / kNear_cents * 0.5;
    }
    const bool mistaken = std::any_of(
        kSmallRatios_cents.begin(), kSmallRatios_cents.end(), [off](double ratio_cents) {
            return std::abs(off - ratio_cents) <= kRatio_cents;
        });
    return mistaken ? kMistaken : 1.0;
}

} // namespace

std::size_t PitchPath::best() const noexcept {
    std::size_t found = 0;
    for (std::size_t i = 1; i < count_; ++i) {
        if (states_[i].score > states_[found].score) {
            found = i;
        }
    }
    return found;
}

/// The state of this pitch; a new one, in place of the least likely when all are taken, if it was not read before.
std::size_t PitchPath::state_at(double cents) noexcept {
    std::size_t nearest = count_;
    for (std::size_t i = 0; i < count_; ++i) {
        const double off = std::abs(states_[i].cents - cents);
        if (off <= kNear_cents &&
            (nearest == count_ || off < std::abs(states_[nearest].cents - cents))) {
            nearest = i;
        }
    }
    if (nearest < count_) {
        return nearest;
    }
    const double from = count_ > 0 ? states_[best()].score : 0.0;
    const std::array<double, kStates> stood =
        count_ > 0 ? states_[best()].stood : std::array<double, kStates>{};
    std::size_t place = count_;
    if (count_ < kStates) {
        ++count_;
    } else {
        place = 0;
        for (std::size_t i = 1; i < count_; ++i) {
            place = states_[i].score < states_[place].score ? i : place;
        }
        for (State& state : states_) {
            state.stood[place] = 0.0;
        }
    }
    states_[place] = {cents, 0.0, count_ == 1 ? 0.0 : from - kChange, stood};
    states_[place].stood[place] = 0.0;
    return place;
}

void PitchPath::hear(double cents, double confidence) noexcept {
    const std::size_t here = state_at(cents);
    const State from = states_[best()];
    for (std::size_t i = 0; i < count_; ++i) {
        State& state = states_[i];
        if (state.score < from.score - kChange) {
            state.score = from.score - kChange;
            state.stood = from.stood;
        }
        state.score -= confidence * against(state.cents, cents);
        state.stood[i] += confidence;
    }
    State& heard = states_[here];
    heard.weight += confidence;
    const double pace = std::max(kFollows, confidence / std::max(heard.weight, 1e-9));
    heard.cents += pace * (cents - heard.cents);
    const double top = states_[best()].score; // only differences count: keep them small
    for (std::size_t i = 0; i < count_; ++i) {
        states_[i].score -= top;
    }
}

bool PitchPath::stands_at(double cents) const noexcept {
    return count_ > 0 && std::abs(states_[best()].cents - cents) <= kNear_cents;
}

double PitchPath::longest_cents() const noexcept {
    if (count_ == 0) {
        return 0.0;
    }
    const State& end = states_[best()];
    const auto* const longest = std::max_element(end.stood.begin(), end.stood.begin() + count_);
    return states_[static_cast<std::size_t>(longest - end.stood.begin())].cents;
}

} // namespace bellhand::trainer
