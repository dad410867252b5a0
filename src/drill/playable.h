#pragma once

#include "drill/exercise.h"

#include <string>

namespace bellhand::drill {

/// Whether an exercise suits a crook.
struct Playable {
    bool yes = true;
    std::string why; ///< one sentence when not
};

/// Playable: the exercise is meant for this crook (or for any), and every note lies in the hand chart and within the
/// partials usually asked of the crook (`horn::usual_compass`). Exercises for several crooks are judged on each of
/// theirs.
[[nodiscard]] Playable playable(const Exercise& exercise, const horn::Crook& crook);

} // namespace bellhand::drill
