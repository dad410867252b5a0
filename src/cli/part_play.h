#pragma once

#include "cli/part_perform.h"
#include "cli/run_options.h"

#include <optional>
#include <string>

namespace bellhand::cli {

/// How a part is played through, as it was typed.
struct PartPlay {
    bool play = false;
    std::optional<std::string> from; ///< number of a bar
    bool loop = false;
    double speed = 100.0; ///< percent of the written tempo
    bool worst = false;
    RunInput run;
};
void add_part_play(const OptionSet& command, PartPlay& options);

/// Leads through bars of a part while it is played, or through those that went worst until now. Errors: no notes there,
/// no such bar, nothing known of bad bars, the input cannot be opened.
[[nodiscard]] Result<int> play_part(const part::Part& part,
                                    const part::Plan& plan,
                                    const part::PlanSettings& settings,
                                    drill::PartBars bars,
                                    const PartPlay& options);

} // namespace bellhand::cli
