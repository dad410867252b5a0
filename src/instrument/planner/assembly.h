#pragma once

#include "instrument/horn_lengths.h"

#include <bit>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace bellhand::instrument {

/// A set of the pieces between crook and body: bit i is `HornLengths::between[i]`.
using PieceSet = std::uint32_t;

/// One way of putting the horn together. crook -1: the mouthpiece goes into the body.
struct Stack {
    int crook = -1;
    PieceSet between = 0;

    friend bool operator==(const Stack&, const Stack&) = default;
};

[[nodiscard]] inline int pieces_in(const Stack& stack) noexcept {
    return std::popcount(stack.between) + (stack.crook >= 0 ? 1 : 0);
}

/// A piece where it sits, for drawing to scale: 0 is the body's socket, positive is towards the player.
struct PlacedPiece {
    std::string name;
    PieceKind kind = PieceKind::coupler;
    double from_m = 0.0;
    double to_m = 0.0;
    double tape_m = 0.0;
};

/// A key near to what an assembly sounds.
struct NearKey {
    horn::Crook key{};
    double cents = 0.0;           ///< assembly above (+) or below the key, slide as given
    std::optional<double> pull_m; ///< that puts it exactly there; empty when the slide cannot
};

/// Weight on the left arm beyond the bare horn, when every mounted piece's mass is known.
struct LeftHandLoad {
    double mass_kg = 0.0;
    double moment_nm =
        0.0; ///< about the body's socket, horn level: what wants to tip it to the player
};

/// What a stack is and sounds.
struct Assembly {
    Stack stack;
    double pull_m = 0.0;
    double acoustic_m = 0.0;
    double f1_hz = 0.0;
    double sd_cents = 0.0; ///< how well the profile's statements settle it
    int joints = 0;       ///< sockets between body and mouthpiece, the mouthpiece's own not counted
    double reach_m = 0.0; ///< how far the mouthpiece is moved away from the body
    bool reach_estimated = false;
    std::optional<LeftHandLoad> load;
    std::vector<PlacedPiece> pieces; ///< from the body outwards
    std::vector<NearKey> near_keys;  ///< the three nearest, nearest first
    std::string caution;             ///< one sentence when the stack is long or heavy
};

/// Puts a stack together. Order from the body: couplers, the longest tube first, then bits, then the crook with the
/// mouthpiece (common practice, no source). `stack` must fit this horn (`check_stack`); pull in metres.
[[nodiscard]] Assembly assemble(
    const HornLengths& horn, const Stack& stack, double pull_m, double a4_hz, const AirInHorn& air);

/// Finds pieces by name, in any order. Errors (usage): unknown name, twice the same, two crooks, couplers on a crook
/// that takes none, no crook on a body that needs one.
[[nodiscard]] Result<Stack> stack_of(const HornLengths& horn, std::span<const std::string> names);

/// True when the pieces can be mounted together.
[[nodiscard]] bool fits(const HornLengths& horn, const Stack& stack) noexcept;

/// Names from the mouthpiece to the body: crook first.
[[nodiscard]] std::vector<std::string> names_of(const HornLengths& horn, const Stack& stack);

/// "G crook + tone coupler + bit"; "body alone" for nothing.
[[nodiscard]] std::string describe(const HornLengths& horn, const Stack& stack);

/// Acoustic length with the slide pushed in.
[[nodiscard]] double pushed_in_m(const HornLengths& horn, const Stack& stack) noexcept;

/// Standard deviation of the stack's pitch in cents, from the covariance of the settled lengths.
[[nodiscard]] double settled_sd_cents(const HornLengths& horn, const Stack& stack) noexcept;

/// Axial room of the stack, metres.
[[nodiscard]] double reach_of_m(const HornLengths& horn, const Stack& stack) noexcept;

} // namespace bellhand::instrument
