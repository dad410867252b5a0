#pragma once

#include "practice/analysis.h"

#include <functional>

namespace bellhand::practice {

/// Runs a whole source through the analysis on the calling thread, as fast as the source delivers, and returns when it
/// has ended. Nothing is lost with a source that waits for its reader: the block ring is the only queue, and it holds
/// the source back. `own`: this player's hand instead of the modelled one. `between_blocks` is called after each block,
/// for whoever wants to change the crook on the way. Errors: a file that the ear
/// needs is missing; the source cannot start or fails; its sample rate is not usable.
[[nodiscard]] Result<audio::SourceStatus>
analyse(audio::Source& source,
        const horn::Tuning& tuning,
        AnalysisSink& sink,
        const std::optional<OwnHand>& own = std::nullopt,
        const std::function<void(Analysis&)>& between_blocks = {});

} // namespace bellhand::practice
