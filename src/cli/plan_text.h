#pragma once

#include "skill/plan.h"

#include <string>

namespace bellhand::cli {

/// The plan of a day for people: a paragraph a block with its reason, times, and the cautions.
[[nodiscard]] std::string plan_text(const skill::DayPlan& plan);

/// The same as one JSON object: "play_s", "rest_s", "cautions", "blocks": [{"reason", "exercise", "title", "crook",
/// "repetitions", "play_s", "rest_s", "why", "items": [{"written", "hand", "from", "from_hand"}], "homework", "part"}].
[[nodiscard]] std::string plan_json(const skill::DayPlan& plan);

} // namespace bellhand::cli
