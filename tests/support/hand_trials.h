#pragma once

#include "hand/hand_ear.h"
#include "support/modelled_player.h"

#include <array>
#include <cstdint>
#include <vector>

namespace bellhand::test {

/// Seeds of modelled players. Constants of the program were chosen, and the modelled colour learnt, on the first set only;
/// figures are taken on the second.
inline constexpr std::uint64_t kTuningSeed = 1000;
inline constexpr std::uint64_t kHeldOutSeed = 880000;

/// One note of a modelled player and what was heard of it.
struct HandTrial {
    int partial = 0;
    int degree = 0; ///< of the five, truth
    Blown blown = Blown::middling;
    double cents = 0.0; ///< from f1
    /// Where the five lie on this partial, cents from f1.
    std::array<double, hand::kDegrees> places{};
    hand::Position heard;
    double f0_hz = 0.0;
    hand::OwnColour own; ///< against the open notes played first
};

struct HandTrialPlan {
    std::uint64_t seed = kHeldOutSeed; ///< of the player
    double lip_sd_cents = 8.0;
    int first_partial = 3;
    int last_partial = 12;
    int own_open_notes = 24; ///< played first, on open partials 2 to 12 at any loudness
    bool calibrated = true;  ///< the falls are known; else the crook's modelled hand is supposed
    const char* crook = nullptr; ///< by its id; null: one of six by the seed
    bool other_bore = false;     ///< the horn has a bell and tube of its own, by the seed
};

/// Every partial, degree and loudness once through each of two invented microphones; crook, hand and microphones follow
/// from the seed.
[[nodiscard]] std::vector<HandTrial> hear_modelled_player(const HandTrialPlan& plan);

/// The modelled colour of the hand, learnt on players of the tuning set.
[[nodiscard]] hand::HandColourModel learn_hand_colour();

} // namespace bellhand::test
