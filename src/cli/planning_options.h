#pragma once

#include "cli/horn_options.h"
#include "instrument/planner/warm_up.h"

#include <optional>
#include <string>

#include <nlohmann/json_fwd.hpp>

namespace bellhand::cli {

/// Options that `build` and `setlist` share: what a stack may be, and what the evening's air does to it.
struct PlanningOptions {
    std::optional<std::string> from;
    double tolerance_cents = instrument::kUsualTolerance_cents;
    std::optional<int> most_between;
    std::optional<double> room_c;
};
/// --from (with its own words), --tolerance, --most-between, --room.
void add_planning_options(const OptionSet& parser,
                          PlanningOptions& options,
                          const char* from_words);

/// What was typed, made ready. Errors (usage): a tolerance out of range, pieces that do not fit.
struct Planning {
    std::optional<instrument::Stack> from;
    double tolerance_cents = instrument::kUsualTolerance_cents;
    int most_between = 6;
};
[[nodiscard]] Result<Planning> planning_of(const PlanningOptions& options, const LoadedHorn& horn);

/// Told of after so long playing.
inline constexpr double kWarmAfter_min = 20.0;

/// "now 18 °C; in twenty minutes about 26 °C (± 4), 14 cents higher (± 7)".
[[nodiscard]] std::string in_words(const instrument::WarmUp& warm);
/// "slide 12 mm (+0 cents left), then 20 mm (+0)".
[[nodiscard]] std::string in_words(const instrument::WarmSlide& slide);

/// after_s, room_c, now_c, later_c, later_sd_c, rise_cents, rise_sd_cents.
[[nodiscard]] nlohmann::ordered_json warm_json(const instrument::WarmUp& warm, double room_c);
/// Adds slide_now_m, left_now_cents, slide_later_m, left_later_cents.
void add_warm_slide(nlohmann::ordered_json& out, const instrument::WarmSlide& slide);

} // namespace bellhand::cli
