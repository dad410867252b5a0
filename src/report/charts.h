#pragma once

#include "progress/progress.h"

#include <string>
#include <vector>

namespace bellhand::report {

// Each chart is one SVG element with its title and description, drawn in the page's inks. `id` begins the ids inside,
// which must be unique in a page.

/// Notes on one crook: median deviation as the sign of the hand, spread as a line through it, share in tune beneath. Long
/// maps go on in further rows.
[[nodiscard]] std::string note_map_svg(const progress::CrookMap& map, const std::string& id);

/// Median deviation and spread over time.
[[nodiscard]] std::string trend_svg(const std::vector<progress::TrendPoint>& points,
                                    progress::Range range,
                                    const std::string& id);

/// Minutes played, with the rest taken beside the rest advised. `days`: the whole range, also what was not practised;
/// more than six weeks are summed by the week, more than two years by four weeks.
[[nodiscard]] std::string
minutes_svg(const progress::PracticeTime& time, const logbook::Days& days, const std::string& id);

/// The half height of a scale of cents that holds what is drawn: 20, 30 ... 60.
[[nodiscard]] double scale_cents(double largest) noexcept;

} // namespace bellhand::report
