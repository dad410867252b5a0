#pragma once

#include "horn/hand_response.h"

#include <array>
#include <cmath>
#include <cstdint>

namespace bellhand::horn {

/// What a hand does on a modelled horn of one f1, in tenths of a cent; `hand_response` reads between the nodes. The
/// data are computed by the acoustic model (tests/bench/make_hand_table.cpp) and stand in the program, because 42 horns
/// with their family of neighbours take a quarter of a minute; a test computes them anew.
struct ModelledFalls {
    using Row = std::array<std::int16_t, kPartials>;
    std::array<Row, kHandDegrees - 1> fall; ///< quarter, half, three-quarters, full
    Row hand_out;
    std::array<Row, kHandDegrees - 1> doubt; ///< one standard deviation of each fall
};

/// Nodes lie half a semitone apart, from A flat basso at the lowest A4 to beyond C alto at the highest; the seventeen
/// crooks at A4 = 440 stand on nodes.
inline constexpr int kModelledNodes = 42;
inline constexpr int kNodesPerOctave = 24;

/// f1 of a node, Hz: 21.83 for node 0.
[[nodiscard]] inline double modelled_f1_hz(double node) noexcept {
    constexpr double kLowest_hz = 440.0 / 20.15873679831797; // 52 semitones below A4 = 440
    return kLowest_hz * std::exp2(node / kNodesPerOctave);
}
/// The inverse.
[[nodiscard]] inline double modelled_node(double f1_hz) noexcept {
    return kNodesPerOctave * std::log2(f1_hz / modelled_f1_hz(0.0));
}

extern const std::array<ModelledFalls, kModelledNodes> kModelledFalls;

} // namespace bellhand::horn
