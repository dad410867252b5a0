#pragma once

#include "cli/commands.h"
#include "cli/log_options.h"

namespace bellhand::cli {

// Subcommands of `bellhand log`. `log` and `chosen` must live as long as the parser; `chosen` is set to what was typed.

/// delete, undo, empty-bin, comment.
void add_log_edits(const OptionSet& parser, LogOptions& log, Action& chosen);
/// takes.
void add_log_takes(const OptionSet& parser, LogOptions& log, Action& chosen);
/// export.
void add_log_export(const OptionSet& parser, LogOptions& log, Action& chosen);

} // namespace bellhand::cli
