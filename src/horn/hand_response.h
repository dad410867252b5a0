#pragma once

#include "horn/hand_chart.h"
#include "horn/tuning.h"

#include <array>
#include <string>

namespace bellhand::horn {

inline constexpr int kPartials = 24;
inline constexpr int kHandDegrees = static_cast<int>(kHands.size());

/// What one hand does to one tube, in cents. Index partial - 1; the second index of the tables is the Hand. The one for
/// a crook comes from `hand_response`; calibration lays what it measured over that.
struct HandResponse {
    /// The open partial, hand in its playing place, against n * f1 of the nominal crook.
    std::array<double, kPartials> open_cents{};
    /// What closing to each degree adds to the open partial: 0 for open, then ever lower.
    std::array<std::array<double, kHandDegrees>, kPartials> fall_cents{};
    /// One standard deviation of each fall, what is shown after the ±; for open, of the open partial.
    std::array<std::array<double, kHandDegrees>, kPartials> doubt_cents{};
    /// What drawing the hand out adds: positive.
    std::array<double, kPartials> hand_out_cents{};
    /// Where the figures come from, for people.
    std::string source;
};

/// The hand on this crook at this pitch, for charts, hearing, drills and plans alike, until the player's own is
/// measured. Modelled, not measured: falls by a transmission line through an invented natural horn with a hand that
/// narrows the bell (what bell and hand do depends on the frequency, not on the number of the partial: the same partial
/// falls far less on a long crook), in air of 20 degrees C; open partials on n * f1. The doubt is what a family of other
/// bores, bells and hands does differently, and never below what the published and independent figures at hand differ
/// by; a single player's hand may do yet something else. Any f1 that a Tuning can have; no error, does not compute the
/// model (0.1 ms).
[[nodiscard]] HandResponse hand_response(const Tuning& tuning);

/// Cents from n * f1 with the hand at a closure from 0 (open) to 1 (full stop); linear between the five degrees.
/// `partial` 1 to 24, closure is clamped.
[[nodiscard]] double
response_at(const HandResponse& response, int partial, double closure) noexcept;

/// The standard deviation of the fall there, cents; linear between the five degrees, 0 at open.
[[nodiscard]] double
fall_doubt_at(const HandResponse& response, int partial, double closure) noexcept;

/// Closure between `from` and `to` whose pitch comes nearest to `wanted_cents` (from n * f1).
[[nodiscard]] double nearest_closure(
    const HandResponse& response, int partial, Hand from, Hand to, double wanted_cents) noexcept;

/// 0, 1/4, 1/2, 3/4, 1.
[[nodiscard]] double closure_of(Hand hand) noexcept;
/// The nearest of the five degrees; half-way counts as the more open one.
[[nodiscard]] Hand degree_of(double closure) noexcept;

} // namespace bellhand::horn
