#include "drill/relation.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::drill {

namespace {

constexpr double kQuarterTone_cents = 50.0;
/// Further off than this a neighbour that fits better is believed.
constexpr double kDoubtful_cents = 35.0;
/// A slip is known by its pitch when it comes this near to where the slip must sound.
constexpr double kSlip_cents = 40.0;
/// Beyond both pitches of a trill or closing.
constexpr double kBeyond_cents = 45.0;

// Spread of notes around what was meant: players (published mean deviations of good brass players are near 5 cents,
// Kopiez 2003) and badly placed hands, which are far worse.
constexpr double kPlayed_sd = 14.0;
constexpr double kBadly_sd = 40.0;
constexpr double kBadly_share = 0.15;
constexpr double kSlip_sd = 20.0;
constexpr double kMissed_share = 0.08; ///< of tries that are another note
constexpr double kSlip_share = 0.6;    ///< of those, slips to a known place

double normal(double cents, double sd) noexcept {
    const double z = cents / sd;
    return std::exp(-0.5 * z * z) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

double nearest_cents(const std::vector<double>& places_hz, double f0_hz) noexcept {
    double nearest = 1e9;
    for (const double place_hz : places_hz) {
        nearest = std::min(nearest, std::fabs(horn::cents_between(f0_hz, place_hz)));
    }
    return nearest;
}

bool between_pitches(const Asked& asked, double f0_hz) noexcept {
    const double from = horn::cents_between(f0_hz, asked.target_hz);
    const double to = horn::cents_between(f0_hz, *asked.other_hz);
    return from * to <= 0.0 || std::min(std::fabs(from), std::fabs(to)) <= kBeyond_cents;
}

/// Slips near what was meant are likelier: the weight falls by half for each place further off.
double slip_density(const std::vector<double>& places_hz, double target_hz, double f0_hz) noexcept {
    double sum = 0.0;
    for (const double place_hz : places_hz) {
        const double cents = horn::cents_between(f0_hz, place_hz);
        if (std::fabs(cents) < 5.0 * kSlip_sd) {
            const double off = horn::cents_between(place_hz, target_hz);
            const auto nearer =
                std::count_if(places_hz.begin(), places_hz.end(), [&](double other_hz) {
                    const double cents_off = horn::cents_between(other_hz, target_hz);
                    return cents_off * off > 0.0 && std::fabs(cents_off) < std::fabs(off);
                });
            sum += normal(cents, kSlip_sd) * std::exp2(-2.0 - static_cast<double>(nearer));
        }
    }
    return sum;
}

} // namespace

Relation relation_of(const Asked& asked, double f0_hz) noexcept {
    if (asked.other_hz && between_pitches(asked, f0_hz)) {
        return Relation::right;
    }
    const double off = std::fabs(horn::cents_between(f0_hz, asked.target_hz));
    const double from_partial = nearest_cents(asked.other_partials_hz, f0_hz);
    const double from_hand = nearest_cents(asked.other_hands_hz, f0_hz);
    const double from_slip = std::min(from_partial, from_hand);
    if (off <= kDoubtful_cents || (off <= kQuarterTone_cents && off <= from_slip + 10.0)) {
        return Relation::right;
    }
    if (from_slip > kSlip_cents) {
        return Relation::other_note;
    }
    return from_partial <= from_hand ? Relation::other_partial : Relation::other_hand;
}

double density_of(const Asked& asked, double f0_hz) noexcept {
    const double off = horn::cents_between(f0_hz, asked.target_hz);
    double right = 0.0;
    if (asked.other_hz) {
        const double span =
            std::fabs(horn::cents_between(*asked.other_hz, asked.target_hz)) + 2.0 * kBeyond_cents;
        right = between_pitches(asked, f0_hz) ? 1.0 / span : 0.0;
    } else {
        right =
            (1.0 - kBadly_share) * normal(off, kPlayed_sd) + kBadly_share * normal(off, kBadly_sd);
    }
    const double slips = 0.7 * slip_density(asked.other_partials_hz, asked.target_hz, f0_hz) +
                         0.3 * slip_density(asked.other_hands_hz, asked.target_hz, f0_hz);
    return (1.0 - kMissed_share) * right +
           kMissed_share * (kSlip_share * slips + (1.0 - kSlip_share) * kAnyPitch_per_cent);
}

} // namespace bellhand::drill
