#pragma once

#include "core/result.h"
#include "drill/part_exercise.h"
#include "part/plan/plan.h"

#include <string>

namespace bellhand::cli {

/// Follows a recording through bars of a part and prints what became of every note, with a summary. Errors: no
/// notes, the sound file cannot be read.
[[nodiscard]] Result<void> perform_part(const part::Part& part,
                                        const part::Plan& plan,
                                        const part::PlanSettings& settings,
                                        drill::PartBars bars,
                                        const std::string& recording);

} // namespace bellhand::cli
