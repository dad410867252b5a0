#pragma once

#include "drill/judgement.h"
#include "drill/part_exercise.h"

#include <map>
#include <vector>

namespace bellhand::drill {

/// How a bar of a part went, over all times that it was played.
struct BarResult {
    int bar = 0; ///< index
    int judged = 0;
    int faulty = 0;
};

/// The results of bars, by index.
using BarResults = std::map<int, BarResult>;

/// Adds a judgement of an exercise of the part.
void add_result(BarResults& results,
                const part::Part& part,
                const PartExercise& made,
                const Judgement& judgement);

/// The bars with most faults for their notes, the worst first, at most `most`; a single fault makes no bad bar.
[[nodiscard]] std::vector<BarResult> worst_bars(const BarResults& results, std::size_t most);

/// A drill of bad bars: each with the bar before it to come in from, bars that touch as one stretch, in order of the part.
[[nodiscard]] std::vector<PartBars> stretches_of(const std::vector<BarResult>& bars);

} // namespace bellhand::drill
