#pragma once

#include "instrument/planner/ways.h"

#include <optional>
#include <string>

namespace bellhand::instrument {

/// A piece that would have to be made.
struct PieceToMake {
    PieceKind kind = PieceKind::coupler;
    double tape_m = 0.0; ///< tube length along its axis, sockets not counted twice
    double sd_m = 0.0;   ///< how surely that is known from what is known of the horn
    Stack on;            ///< what it is put on; a crook takes this one's place
    double pull_m = 0.0; ///< where the slide then stands, so that it can be tuned either way
};

/// Why a key cannot be built, and what would do it.
struct Missing {
    /// Even the shortest stack is longer than the key asks for.
    bool too_long = false;
    double by_m =
        0.0; ///< tube too much (`too_long`), or that the nearest stack lacks (+) or has too much (-)
    double by_cents = 0.0; ///< what the nearest stack leaves: too high (+) or too low (-)
    Stack nearest;
    std::optional<PieceToMake> make; ///< empty when no crook can be so short
};

/// What a key that `ways_to_build` cannot reach lacks. A crook when everything is too long; otherwise one coupler (a bit
/// when shorter than 10 cm) on the longest bare crook that is short enough, or on the stack of two pieces next below.
[[nodiscard]] Missing what_is_missing(const HornLengths& horn, const BuildRequest& request);

/// "Nothing you own reaches C alto: the shortest stack, short master, is 0.39 m of tube too long. That needs a shorter
/// crook: 0.12 m of tube (± 0.02) instead of short master."
[[nodiscard]] std::string in_words(const HornLengths& horn, const horn::Crook& key, const Missing&);

} // namespace bellhand::instrument
