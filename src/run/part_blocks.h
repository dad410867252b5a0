#pragma once

#include "core/result.h"
#include "drill/part_results.h"
#include "skill/plan.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace bellhand::logbook {
class Logbook;
}

namespace bellhand::run {

/// Bars of a part to be played. Bars are indices.
struct PartStretch {
    drill::PartBars bars;
    std::optional<int> from; ///< the player begins in this bar the first time
    bool loop = false;       ///< round and round; the best time through is kept
    double speed = 1.0;      ///< share of the tempo that is written
};

/// Bars of a part as blocks.
struct PartBlocks {
    std::vector<skill::PlannedBlock> blocks;
    /// Of every block, of every step: index into the attacks of the part; of rests the next.
    std::vector<std::vector<std::size_t>> attack_of;
};

/// One block that leads through the stretch, crook changes and all. Errors (usage): no note to play there; `from` is not
/// among the bars that are played.
[[nodiscard]] Result<PartBlocks>
part_blocks(const part::Part& part, const part::Plan& plan, const PartStretch& stretch);

/// How the bars of this part went in the newest sessions of the log. Errors: the log cannot be read.
[[nodiscard]] Result<drill::BarResults>
part_results(const part::Part& part, const part::Plan& plan, logbook::Logbook& book);

/// The bars that went worst, each stretch of them a block of some times through. Errors (usage): no bad bar is known.
[[nodiscard]] Result<PartBlocks> worst_blocks(const part::Part& part,
                                              const part::Plan& plan,
                                              const drill::BarResults& results,
                                              double speed = 1.0);

} // namespace bellhand::run
