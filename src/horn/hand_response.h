#pragma once

#include "horn/hand_chart.h"
#include "horn/tuning.h"

#include <array>
#include <string>

namespace bellhand::horn {

inline constexpr int kPartials = 24;
inline constexpr int kHandDegrees = static_cast<int>(kHands.size());

/// What one player's hand does to one tube, in cents. Index partial - 1; the second index of `fall_cents` is the Hand.
/// The nominal one comes from `nominal_hand_response`; a measured or modelled one takes its place wherever this struct
/// is asked for.
struct HandResponse {
    /// The open partial, hand in its playing place, against n * f1 of the nominal crook.
    std::array<double, kPartials> open_cents{};
    /// What closing to each degree adds to the open partial: 0 for open, then ever lower.
    std::array<std::array<double, kHandDegrees>, kPartials> fall_cents{};
    /// What drawing the hand out adds: positive.
    std::array<double, kPartials> hand_out_cents{};
    /// Where the figures come from, for people.
    std::string source;
};

/// How far a full stop sounds above the partial below, in cents, for a tube of this fundamental: the hand takes a
/// constant length of tube away, 0.221 m, chosen so that the crook of F at A4 = 440 gives exactly a semitone
/// (computed, 1200 log2(L / (L - 0.221)), L = c / (2 f1), c = 343.4 m/s). Real hands differ: calibrate.
[[nodiscard]] double full_stop_rise_cents(double f1_hz) noexcept;

/// A hand that nobody measured: open partials exactly on n * f1; full stop by `full_stop_rise_cents`; quarter, half and
/// three-quarters as fractions of that fall, taken from a transmission-line model of an invented F horn with openings
/// of 21, 10 and 5 % of the bell's area at the hand (computed, not measured). From partial 14 up the fractions of
/// partial 13 serve.
[[nodiscard]] HandResponse nominal_hand_response(const Tuning& tuning);

/// Cents from n * f1 with the hand at a closure from 0 (open) to 1 (full stop); linear between the five degrees.
/// `partial` 1 to 24, closure is clamped.
[[nodiscard]] double
response_at(const HandResponse& response, int partial, double closure) noexcept;

/// Closure between `from` and `to` whose pitch comes nearest to `wanted_cents` (from n * f1).
[[nodiscard]] double nearest_closure(
    const HandResponse& response, int partial, Hand from, Hand to, double wanted_cents) noexcept;

/// 0, 1/4, 1/2, 3/4, 1.
[[nodiscard]] double closure_of(Hand hand) noexcept;

} // namespace bellhand::horn
