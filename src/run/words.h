#pragma once

#include "run/run.h"

#include <string>

namespace bellhand::run {

/// What to do now, one sentence.
[[nodiscard]] std::string prompt_for(const State& state, const horn::Tuning& tuning);

/// Sums up judgements of one block. `exercise` is what they were judged on.
[[nodiscard]] BlockSummary summary_of(const skill::PlannedBlock& block,
                                      const std::vector<drill::Judgement>& judgements,
                                      double played_s);

} // namespace bellhand::run
