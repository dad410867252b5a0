#pragma once

#include "audio/device.h"
#include "cli/option_set.h"
#include "core/result.h"
#include "horn/tuning.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::cli {

/// What a command does once its options are read. The number is the exit code; an error is printed on stderr and ends
/// with 2 (usage) or 1 (failure).
using Action = std::function<Result<int>()>;

/// The command line while it is being put together.
struct CommandLine {
    OptionSet options;
    Action chosen; ///< of the command that was typed
};

/// Adds a subcommand; `--help` comes with it. Hang its options on what is returned; `action` runs after all of them
/// were read, so it may hold them by shared pointer.
OptionSet add_command(CommandLine& line, const char* name, const char* purpose, Action action);

/// Every command of the tree: `src/cli/commands/command_NAME.cpp` defines `void add_NAME(CommandLine&)` and is found by the
/// build, which writes this function.
void add_all_commands(CommandLine& line);

/// The options --crook, --a4, --temperament, --root, --anchor and --enharmonic as they were typed.
struct TuningOptions {
    std::optional<std::string> crook{};
    std::optional<double> a4_hz{};
    std::optional<std::string> temperament{};
    std::optional<std::string> root{};
    std::optional<std::string> anchor{};
    std::optional<std::string> enharmonic{};
};
void add_tuning_options(const OptionSet& parser, TuningOptions& options);
/// The same without the crook.
void add_pitch_options(const OptionSet& parser, TuningOptions& options);

/// What was typed, over `otherwise` for what was not. Errors (usage): unknown crook, temperament or root, A4 out of range.
[[nodiscard]] Result<horn::Tuning> resolve_tuning(const TuningOptions& options,
                                                  const horn::Tuning& otherwise = {});

/// The option --log as it was typed.
void add_log_option(const OptionSet& parser, std::optional<std::string>& path);

/// The option --channel for commands that read a sound file.
void add_channel_option(const OptionSet& parser, int& channel);

/// The device that an option --device means: an index when it is all digits, else a name.
[[nodiscard]] audio::DeviceChoice parse_device(const std::string& typed);

enum class TableFormat { table, csv, json };
/// The option --format table|csv|json.
void add_format_option(const OptionSet& parser, TableFormat& format);

/// One column of a printed table. `number`: the cells are numbers (right-aligned, unquoted in JSON; an empty cell is
/// null there).
struct Column {
    const char* name; ///< a contract for CSV and JSON
    bool number = false;
};

enum class PlainFormat { aligned, csv };
/// Rows of ready cells as an aligned table or as CSV (RFC 4180, header first, line feed). What a command answers goes
/// through `answer_table`.
[[nodiscard]] std::string format_table(const std::vector<Column>& columns,
                                       const std::vector<std::vector<std::string>>& rows,
                                       PlainFormat format);

} // namespace bellhand::cli
