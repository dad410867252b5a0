#pragma once

#include "engraving/score.h"

#include <optional>
#include <vector>

namespace bellhand::engraving {

/// The one value that a length is written with: plain, dotted, doubly dotted, or as a member of a triplet, quintuplet or
/// septuplet; empty when there is none.
[[nodiscard]] std::optional<Value> value_of(int ticks) noexcept;

/// How much weight a place in a bar of this metre has: 4 the bar line, 3 its middle where the bar has two halves of two
/// beats, 2 a beat, 1 half a beat (a third in compound metres), then falling by one with each halving.
[[nodiscard]] int weight_of(int tick, const Metre& metre) noexcept;

struct Piece {
    int tick = 0;
    Value value;

    friend bool operator==(const Piece&, const Piece&) = default;
};

/// A note of a bar cut into values that are tied, as the metre asks (Gould, Behind Bars, 2011: the middle of four
/// beats shows, beats show but for syncopations and dotted values). The last piece takes what has no value of its own.
[[nodiscard]] std::vector<Piece> note_pieces(int tick, int ticks, const Metre& metre);
/// The same for rests, which hide no beat that weighs more than where they begin.
[[nodiscard]] std::vector<Piece> rest_pieces(int tick, int ticks, const Metre& metre);

/// A beat: a quarter in 4/4, a dotted quarter in 6/8, a half in cut time.
[[nodiscard]] int beat_ticks(const Metre& metre) noexcept;

/// Gives every event a number, the same for those under one beam, -1 without one. `metre_of` every bar.
[[nodiscard]] std::vector<int> beam_groups(const Score& score, const std::vector<Metre>& metre_of);

/// Tuplets whose members stand beside each other, told by their values: they close on the next half or whole beat.
[[nodiscard]] std::vector<Tuplet> tuplets_of(const Score& score);

/// The metre that holds in every bar.
[[nodiscard]] std::vector<Metre> metres_of(const Score& score);

} // namespace bellhand::engraving
