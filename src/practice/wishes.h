#pragma once

#include "practice/analysis.h"

#include <optional>

namespace bellhand::practice {

/// The settings the caller changes while the analysis runs.
struct Wishes {
    horn::Tuning tuning;
    std::optional<OwnHand> hand;
    trainer::ExpectedPitches expected;
    double tolerance_factor = 1.0;
    bool retune = false; ///< tuning or hand were set
    bool forget = false;
};

} // namespace bellhand::practice
