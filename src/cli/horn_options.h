#pragma once

#include "cli/answer.h"
#include "cli/commands.h"
#include "instrument/planner/assembly.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::cli {

/// Options of the commands that reckon with a horn: pitch, air, profile.
struct HornOptions {
    std::optional<std::string> profile;
    std::optional<double> a4_hz;
    std::optional<double> temperature_c;
};
void add_horn_options(const OptionSet& parser, HornOptions& options, bool profile_needed);

/// A profile read, settled and ready to plan with, in the pitch and air that were asked for.
struct LoadedHorn {
    instrument::Profile profile;
    instrument::HornLengths lengths;
    double a4_hz = 440.0;
    instrument::AirInHorn air;
};

/// The question of a command with these options: pitch, air and profile.
[[nodiscard]] Question question_of(const LoadedHorn& horn, const HornOptions& options);

/// Reads and settles the profile; what was not typed comes from it. Prints the profile's warnings on stderr. Errors:
/// unreadable profile, A4 or temperature out of range.
[[nodiscard]] Result<LoadedHorn> load_horn(const HornOptions& options);

/// "G crook, bit 2": names separated by commas or plus signs, as `--from` takes them.
[[nodiscard]] std::vector<std::string> split_names(const std::string& text);

/// The option --from as a stack.
[[nodiscard]] Result<std::optional<instrument::Stack>>
stack_from(const instrument::HornLengths& lengths, const std::optional<std::string>& text);

/// Cents as people write them (+3, -1) in a table and as plain numbers in CSV and JSON; never "-0".
[[nodiscard]] std::string cents_cell(double cents, int decimals, TableFormat format);

/// Names in one cell.
[[nodiscard]] std::string joined(const std::vector<std::string>& names);

/// Errors (usage): outside -10 to 45 degrees C, or not a number.
[[nodiscard]] Result<double> checked_temperature(double temperature_c);

} // namespace bellhand::cli
