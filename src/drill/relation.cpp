#include "drill/relation.h"

#include "core/cents.h"

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
constexpr double kPlayedSd = 14.0;
constexpr double kBadlySd = 40.0;
constexpr double kBadlyShare = 0.15;
constexpr double kSlipSd = 20.0;
// Of tries that came out as another note: slips to a known place by lips or hand, another semitone, anything.
constexpr double kLipShare = 0.55;
constexpr double kHandShare = 0.10;
constexpr double kSemitoneShare = 0.30;
constexpr double kAnyShare = 0.05;
constexpr double kAny_cents = 4800.0; // four octaves
constexpr double kSemitoneSd = 18.0;
constexpr double kReach_semitones = 9.0;

double normal(double cents, double sd) noexcept {
    const double z = cents / sd;
    return std::exp(-0.5 * z * z) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

double nearest_cents(const std::vector<double>& places_hz, double f0_hz) noexcept {
    double nearest = 1e9;
    for (const double place_hz : places_hz) {
        nearest = std::min(nearest, std::fabs(cents_between(f0_hz, place_hz)));
    }
    return nearest;
}

bool between_pitches(const Asked& asked, double f0_hz) noexcept {
    const double from = cents_between(f0_hz, asked.target_hz);
    const double to = cents_between(f0_hz, *asked.other_hz);
    return from * to <= 0.0 || std::min(std::fabs(from), std::fabs(to)) <= kBeyond_cents;
}

/// Slips near what was meant are likelier: the weight falls by half for each place further off; octaves are as near as
/// the second place.
double slip_density(const std::vector<double>& places_hz, double target_hz, double f0_hz) noexcept {
    double sum = 0.0;
    for (const double place_hz : places_hz) {
        const double cents = cents_between(f0_hz, place_hz);
        if (std::fabs(cents) < 5.0 * kSlipSd) {
            const double off = cents_between(place_hz, target_hz);
            const auto nearer =
                std::count_if(places_hz.begin(), places_hz.end(), [&](double other_hz) {
                    const double cents_off = cents_between(other_hz, target_hz);
                    return cents_off * off > 0.0 && std::fabs(cents_off) < std::fabs(off);
                });
            const bool octave = std::fabs(std::fabs(off) - 1200.0) < 60.0;
            sum += normal(cents, kSlipSd) *
                   std::exp2(-2.0 - (octave ? 1.0 : static_cast<double>(nearer)));
        }
    }
    return sum;
}

/// Semitones around the target, all within reach alike, the target itself left out.
double semitone_density(double target_hz, double f0_hz) noexcept {
    const double cents = cents_between(f0_hz, target_hz);
    const double semitone = std::round(cents / 100.0);
    if (semitone == 0.0 || std::fabs(semitone) > kReach_semitones) {
        return 0.0;
    }
    return normal(cents - 100.0 * semitone, kSemitoneSd) / (2.0 * kReach_semitones);
}

} // namespace

Relation relation_of(const Asked& asked, double f0_hz) noexcept {
    if (asked.other_hz && between_pitches(asked, f0_hz)) {
        return Relation::right;
    }
    const double off = std::fabs(cents_between(f0_hz, asked.target_hz));
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

double right_density(const Asked& asked, double f0_hz) noexcept {
    if (asked.other_hz) {
        const double span =
            std::fabs(cents_between(*asked.other_hz, asked.target_hz)) + 2.0 * kBeyond_cents;
        return between_pitches(asked, f0_hz) ? 1.0 / span : 0.0;
    }
    const double off = cents_between(f0_hz, asked.target_hz);
    return (1.0 - kBadlyShare) * normal(off, kPlayedSd) + kBadlyShare * normal(off, kBadlySd);
}

double wrong_density(const Asked& asked, double f0_hz) noexcept {
    return kLipShare * slip_density(asked.other_partials_hz, asked.target_hz, f0_hz) +
           kHandShare * slip_density(asked.other_hands_hz, asked.target_hz, f0_hz) +
           kSemitoneShare * semitone_density(asked.target_hz, f0_hz) + kAnyShare / kAny_cents;
}

double extra_density(const Asked& asked, double f0_hz) noexcept {
    return (1.0 - kAnyShare) * semitone_density(asked.target_hz, f0_hz) + kAnyShare / kAny_cents;
}

double any_density() noexcept {
    return 1.0 / kAny_cents;
}

} // namespace bellhand::drill
