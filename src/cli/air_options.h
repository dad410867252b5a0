#pragma once

#include "cli/option_set.h"
#include "horn/acoustics/air.h"

namespace bellhand::cli {

/// The air in a horn, for the commands that reckon with its losses.
struct AirOptions {
    double temperature_c = 20.0;
    double humidity_percent = 50.0; ///< relative
};
/// --temperature, --humidity.
void add_air_options(const OptionSet& parser, AirOptions& options);

/// That air at standard pressure, with the carbon dioxide of a room.
[[nodiscard]] horn::acoustics::AirState air_state(const AirOptions& options) noexcept;

} // namespace bellhand::cli
