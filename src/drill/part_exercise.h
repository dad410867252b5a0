#pragma once

#include "core/result.h"
#include "drill/exercise.h"
#include "part/plan/plan.h"

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace bellhand::drill {

/// A stretch of a part as an exercise.
struct PartExercise {
    Exercise exercise;
    horn::Crook crook; ///< in the horn at the first note
    std::vector<std::size_t>
        attack_of; ///< of every step: index into the attacks of the part; of rests the next
};

/// The bars `first` to `last` (indices) in order of playing, repeats taken: at every note the partial and the hand of
/// the plan, rests between, one step for each bar of them, tremolos up to sixteenths as repeated notes, quick grace notes as
/// long as the player likes. Each step tells its bar, crook, metre and tempo. Notes that no way reaches are rests. The id
/// of the exercise names the part and the bars, so that results in the log find them again (`bars_of_id`). Errors
/// (usage): no note to play, or more than 20 000 notes.
[[nodiscard]] Result<PartExercise>
exercise_of_part(const part::Part& part, const part::Plan& plan, int first, int last);

/// Bars of a part as indices, both included.
struct PartBars {
    int first = 0;
    int last = 0;
};

/// The bars of the exercise with this id; empty when it is none of this part as it stands now.
[[nodiscard]] std::optional<PartBars> bars_of_id(const part::Part& part, std::string_view id);

/// The step that `bar` (index) begins with when it is played for the first time in the exercise of these bars; empty
/// when it is not played.
[[nodiscard]] std::optional<std::uint32_t>
step_of_bar(const part::Part& part, const PartBars& bars, const Exercise& exercise, int bar);

} // namespace bellhand::drill
