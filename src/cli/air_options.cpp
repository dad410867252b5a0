#include "cli/air_options.h"

namespace bellhand::cli {

void add_air_options(const OptionSet& parser, AirOptions& options) {
    parser.add_option("--temperature", options.temperature_c, "Air in the horn, degrees Celsius")
        .range(-10.0, 45.0)
        .type_name("C")
        .show_default();
    parser.add_option("--humidity", options.humidity_percent, "Relative humidity in per cent")
        .range(0.0, 100.0)
        .type_name("PERCENT")
        .show_default();
}

horn::acoustics::AirState air_state(const AirOptions& options) noexcept {
    constexpr double kCarbonDioxide = 0.0004; // mole fraction
    return {options.temperature_c,
            0.01 * options.humidity_percent,
            kCarbonDioxide,
            horn::acoustics::kStandardPressure_pa};
}

} // namespace bellhand::cli
