#pragma once

#include "cli/listen_options.h"
#include "terminal/run_view.h"

namespace bellhand::cli {

/// Options shared by the commands that lead through a run, as they were typed.
struct RunInput {
    ListenOptions listen;
    std::optional<double> tolerance; ///< factor; empty: as in the settings
    int feedback_behind = 1;
    bool no_metronome = false;
    bool no_drone = false;
    bool cue = false;
    bool json = false;
};
/// The option --format text|json.
void add_run_format_option(const OptionSet& parser, RunInput& options);
void add_run_options(const OptionSet& parser, RunInput& options);

/// What was typed, over the saved settings. Errors (usage): options that contradict each other or are out of range.
[[nodiscard]] Result<terminal::RunStart> resolve_run(const RunInput& options);

} // namespace bellhand::cli
