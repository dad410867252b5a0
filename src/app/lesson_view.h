#pragma once

#include "app/lesson_options.h"

#include <vector>

namespace bellhand::app {

/// Leads through the blocks in the terminal, until they are over or the player ends it: a screen that is redrawn, with
/// keys and pedals, or lines where none can be. Everything goes to the log. Errors: the input cannot be opened or
/// fails; the log could not be saved.
[[nodiscard]] Result<int>
run_lesson(const LessonStart& start, std::vector<skill::PlannedBlock> blocks, skill::Skills skills);

} // namespace bellhand::app
