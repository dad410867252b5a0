#pragma once

#include "core/result.h"
#include "drill/exercise.h"
#include "part/plan/plan.h"

#include <vector>

namespace bellhand::drill {

/// A stretch of a part as an exercise.
struct PartExercise {
    Exercise exercise;
    horn::Crook crook; ///< in the horn throughout
    std::vector<std::size_t>
        attack_of; ///< of every step: index into the attacks of the part; of rests the next
};

/// The bars `first` to `last` (indices) in order of playing, repeats taken: at every note the partial and the hand of
/// the plan, rests between, tremolos up to sixteenths as repeated notes, quick grace notes as long as the player likes. Notes
/// that no way reaches are rests. Errors (usage): another crook inside, no note to play, or more than 20 000 notes.
[[nodiscard]] Result<PartExercise>
exercise_of_part(const part::Part& part, const part::Plan& plan, int first, int last);

} // namespace bellhand::drill
