#pragma once

#include "hand/timbre_model.h"
#include "horn/hand_response.h"

#include <array>

namespace bellhand::hand {

/// Closures looked at: 0 to 1 in sixteenths.
inline constexpr int kClosures = 17;
/// Partials looked at: 2 to 24. Partial 1 has no hand.
inline constexpr int kFirstPartial = 2;
inline constexpr int kLastPartial = horn::kPartials;
inline constexpr int kGridPartials = kLastPartial - kFirstPartial + 1;

[[nodiscard]] constexpr double closure_at(int index) noexcept {
    return static_cast<double>(index) / (kClosures - 1);
}
using horn::degree_of;

/// How surely pitch betrays the hand.
struct PitchTrust {
    double lip_sd_cents = 18.0; ///< what lips add to any note
    double response_share =
        0.0;               ///< of a fall, by which it may be wrong beyond the response's own doubt
    bool measured = false; ///< on this player and this horn
};
/// Falls measured on this player: lips within 8 cents (the figure that the estimate is checked with; common practice).
[[nodiscard]] PitchTrust calibrated_trust() noexcept;
/// Falls from the modelled hand, which says itself how far it may be wrong.
[[nodiscard]] PitchTrust modelled_trust() noexcept;

/// What was heard: where the pitch lies and what the timbre says.
struct Heard {
    double cents = 0.0; ///< from f1 of the crook, 1200 log2(f0 / f1), less the player's own offset
    double sd_cents = 0.0;         ///< of the pitch itself
    double log_odds = 0.0;         ///< of stop-like against open, by timbre; 0: it says nothing
    double stop_like_weight = 1.0; ///< exponent of that likelihood
    std::array<double, kDegrees> by_degree{}; ///< log likelihood of each degree, by modelled colour
};

/// Natural logarithm of something for each partial and closure.
using GridLogs = std::array<std::array<float, kClosures>, kGridPartials>;

/// Where the notes of one crook lie under one player's hand, ready to be asked.
///
/// A note of the branch of partial n lies between the open partial and its full stop, just above partial n - 1; these
/// stretches do not overlap, so the pitch names the branch and, where the fall is steep, the closure (Backus 1976: every
/// resonance slides down to just above its former lower neighbour). Lips spread it. Timbre tells stop-like from open.
class ClosureGrid {
public:
    ClosureGrid() = default;
    ClosureGrid(const horn::HandResponse& response,
                const PitchTrust& trust,
                const TimbreModel& model);

    /// Log likelihood of each place, at least -17; no allocation.
    void look(const Heard& heard, GridLogs& out) const noexcept;
    /// Prior of each place: five degrees alike, open half as likely again while the hand is not
    /// measured; partials above 16 rare.
    [[nodiscard]] const GridLogs& prior() const noexcept { return prior_; }
    /// Where the note lies, cents from f1.
    [[nodiscard]] double place_cents(int partial, double closure) const noexcept;
    [[nodiscard]] const PitchTrust& trust() const noexcept { return trust_; }

private:
    GridLogs place_{};    // cents from f1
    GridLogs variance_{}; // of the place, without the pitch's own
    GridLogs prior_{};
    std::array<float, kClosures> stop_like_share_{};
    PitchTrust trust_;
};

/// What the sound betrays of the hand: the summary of a posterior over partial and closure.
struct Position {
    bool known = false;
    int partial = 0;            ///< the branch: full stop of partial n sounds just above n - 1
    double partial_share = 0.0; ///< probability of that partial
    double closure = 0.0;       ///< median on that partial, 0 open .. 1 full stop
    double low = 0.0;           ///< 10th and 90th percentile: what to show as a range
    double high = 1.0;
    horn::Hand degree = horn::Hand::open;   ///< the likeliest of the five
    double confidence = 0.0;                ///< probability of partial and degree together
    std::array<double, kDegrees> degrees{}; ///< probabilities of the five on that partial
};

/// Prior and evidence to a position. No allocation.
[[nodiscard]] Position position_of(const GridLogs& prior, const GridLogs& evidence) noexcept;

} // namespace bellhand::hand
