#pragma once

#include "horn/crook.h"

namespace bellhand::horn {

/// The partials that parts for a crook usually ask for.
struct Compass {
    int lowest_partial = 2;
    int highest_partial = 16;
    bool printed =
        false; ///< by the source; else taken from the neighbouring crooks (common practice, no source)
};

/// Source: Encyclopaedia Britannica, 11th ed. (1911), vol. 13, "Horn", table of crooks.
[[nodiscard]] Compass usual_compass(const Crook& crook) noexcept;

/// Crooks that parts seldom ask for: C alto, B alto, F#, Db, B basso, A basso, Ab basso (Grove, Dictionary of Music and
/// Musicians, 1st ed., "Horn", p. 750, for C alto and Ab basso; the others common practice, no source).
[[nodiscard]] bool is_rare(const Crook& crook) noexcept;

} // namespace bellhand::horn
