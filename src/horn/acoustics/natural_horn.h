#pragma once

#include "core/result.h"
#include "horn/acoustics/resonance.h"

#include <array>
#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace bellhand::horn::acoustics {

inline constexpr int kModelPartials = 24;

/// An invented natural horn: mouthpiece, crook (taper, then cylinder), body of constant bore, two cones, flared bell. Not
/// measured on any instrument; the body is 7 ft 4 in long as in Encyclopaedia Britannica, 11th ed., vol. 13 (1911), the
/// rest was chosen so that the open partials with a hand in playing position lie close to n f1 on the crook of F.
struct HornShape {
    double cup_radius_m = 0.0085;
    double rim_depth_m = 0.008;
    double cup_length_m = 0.030;
    double throat_radius_m = 0.0021;
    double backbore_length_m = 0.022;
    double crook_entry_radius_m = 0.0037;
    double crook_taper_m = 0.56; ///< at most four fifths of a short crook
    double tube_radius_m = 0.0060;
    double body_length_m = 2.235;
    double first_cone_m = 0.52;
    double first_cone_end_radius_m = 0.0074;
    double second_cone_m = 0.60;
    double throat_of_bell_radius_m = 0.0121;
    double bell_length_m = 0.59;
    double bell_exponent = 0.884;
    double rim_radius_m = 0.140;
    int bell_slices = 60;
};

/// Mouthpiece, crook of this length and body. `crook_length_m` >= 0.02; 0.02 stands for a bare mouthpiece socket.
[[nodiscard]] Bore horn_bore(const HornShape& shape, double crook_length_m);

/// How one player's hand closes the bell: radius of the gap at open, quarter, half, three-quarters and full stop. The
/// figures in between follow the logarithm of the radius. Openings of 21, 10 and 5 % of a bell of 44 mm for the middle
/// three, where a transmission-line model gives the usual falls on the crook of F (computed, not measured).
struct HandHabit {
    std::array<double, 5> gap_radius_m{0.030, 0.020, 0.014, 0.0098, 0.0045};
    double depth_m = 0.10;
    double length_m = 0.08;
};

/// The hand at a closure from 0 (open, in playing position) to 1 (full stop); clamped.
[[nodiscard]] HandInBell hand_at(double closure, const HandHabit& habit = {}) noexcept;

/// Resonances 1 to `most` of the horn on a crook; no hand: bell empty. Element n-1 is partial n: closing the hand slides
/// every resonance down without passing another.
[[nodiscard]] std::vector<Resonance> horn_resonances(const HornShape& shape,
                                                     double crook_length_m,
                                                     const std::optional<HandInBell>& hand,
                                                     const Air& air,
                                                     int most = kModelPartials);

/// f1 as a player would tune it: from it the open partials 4, 5, 6, 8, 9, 10 and 12, hand in playing position, are off
/// by zero on the mean.
[[nodiscard]] double model_f1_hz(const HornShape& shape,
                                 double crook_length_m,
                                 const Air& air,
                                 const HandHabit& habit = {});

/// Length of the crook that gives f1, to 0.01 mm. Errors (usage): f1 above what the body allows with a crook of 2 cm, or
/// below 20 Hz.
[[nodiscard]] Result<double> crook_length_for_m(const HornShape& shape,
                                                double f1_hz,
                                                const Air& air,
                                                const HandHabit& habit = {});

/// What a hand does on one crook, cents, element partial - 1. Where the model finds no resonance any more (far above the
/// cutoff of the bell) the last one found stands in; `partials` counts the real ones.
struct HandTable {
    double f1_hz = 0.0;
    double crook_length_m = 0.0;
    int partials = 0;
    std::array<double, kModelPartials> open_cents{};            ///< open partial minus n f1
    std::array<double, kModelPartials> hand_out_cents{};        ///< empty bell minus open
    std::vector<double> closures;                               ///< as asked
    std::vector<std::array<double, kModelPartials>> fall_cents; ///< per closure, minus open
    /// Full stop above the open partial below, element n-1 for the branch that closes from partial n; element 0 unused.
    std::array<double, kModelPartials> full_stop_rise_cents{};
};

/// Called with the finished share, 0 to 1; false stops the work.
using Progress = std::function<bool(double)>;

/// Hand tables for several f1 (crooks), every one with these closures. Errors as `crook_length_for_m`; (failure):
/// stopped by `progress`. About 25 ms a crook with six closures.
[[nodiscard]] Result<std::vector<HandTable>> hand_tables(const HornShape& shape,
                                                         std::span<const double> f1_hz,
                                                         std::span<const double> closures,
                                                         const Air& air,
                                                         const HandHabit& habit = {},
                                                         const Progress& progress = {});

/// How fast a resonance moves when the gap grows: cents per mm of gap radius, central difference over 0.2 mm.
[[nodiscard]] double gap_sensitivity_cents_per_mm(const Bore& empty_bell,
                                                  const HandInBell& hand,
                                                  double resonance_hz,
                                                  const Air& air);

} // namespace bellhand::horn::acoustics
