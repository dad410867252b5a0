#pragma once

#include "app/start_options.h"
#include "core/result.h"
#include "run/run.h"
#include "terminal/run_lines.h"

#include <vector>

namespace bellhand::terminal {

/// What a run in the terminal starts with.
struct RunStart {
    app::StartOptions input;
    run::Options lesson;
    bool sound = true;     ///< metronome, drone, cues through the usual output
    EventAnswer as_answer; ///< a line of JSON for each event instead of a screen; empty: a screen
};

/// Leads through the blocks in the terminal, until they are over or the player ends it: a screen that is redrawn, with
/// keys and pedals, or lines where none can be. Everything goes to the log. Errors: the input cannot be opened or
/// fails; the log could not be saved.
[[nodiscard]] Result<int>
run_exercises(const RunStart& start, std::vector<skill::PlannedBlock> blocks, skill::Skills skills);

} // namespace bellhand::terminal
