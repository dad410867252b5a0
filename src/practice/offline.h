#pragma once

#include "practice/analysis.h"

#include <functional>

namespace bellhand::practice {

/// Runs a whole source through the analysis on the calling thread, as fast as the source delivers, and returns when it
/// has ended. Nothing is lost with a source that waits for its reader: the block ring is the only queue, and it holds
/// the source back. `own`: this player's hand instead of the modelled one. `go_on` is asked after each block and while
/// none comes: false ends the listening, and it is the place to change the crook on the way. Errors: a file that the ear
/// needs is missing; the source cannot start or fails; its sample rate is not usable.
[[nodiscard]] Result<audio::SourceStatus> analyse(audio::Source& source,
                                                  const horn::Tuning& tuning,
                                                  AnalysisSink& sink,
                                                  const std::optional<OwnHand>& own = std::nullopt,
                                                  const std::function<bool(Analysis&)>& go_on = {});

} // namespace bellhand::practice
