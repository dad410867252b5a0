#pragma once

#include "chart/paper.h"
#include "cli/planning_options.h"
#include "instrument/planner/planner.h"

#include <string>

namespace bellhand::cli {

/// A plan with what it was made for: everything a change sheet says.
struct ChangeSheet {
    const LoadedHorn& horn;
    const instrument::SetList& list;
    const instrument::Plan& plan;
    std::optional<double> room_c{}; ///< given: what the warming horn does is told
};

/// The rows of a plan, one a number; `format` decides between words for people and plain cells.
[[nodiscard]] std::string change_table(const ChangeSheet& sheet, TableFormat format);

/// What goes into the case, how much change there is, and every change that its rest is too short for, by name.
[[nodiscard]] std::string change_summary(const ChangeSheet& sheet);

/// One JSON object: choice, packed pieces, totals and the numbers in order.
[[nodiscard]] std::string change_json(const ChangeSheet& sheet);

/// One A4 page for the music stand. Errors as `chart::render_page`.
[[nodiscard]] Result<std::string> change_page(const ChangeSheet& sheet, chart::PageFormat format);

} // namespace bellhand::cli
