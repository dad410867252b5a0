#pragma once

#include "cli/commands.h"
#include "cli/log_options.h"

namespace bellhand::cli {

// Subcommands of `bellhand log`. `log` and `chosen` must live as long as the parser; `chosen` is set to what was typed.

/// delete, undo, empty-bin, comment.
void add_log_edits(CLI::App& parser, LogOptions& log, Action& chosen);
/// takes.
void add_log_takes(CLI::App& parser, LogOptions& log, Action& chosen);
/// export.
void add_log_export(CLI::App& parser, LogOptions& log, Action& chosen);

} // namespace bellhand::cli
