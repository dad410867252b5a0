#pragma once

#include "report/report.h"

#include <string>

namespace bellhand::cli {

/// A report in a few lines for the terminal: sums, weakest notes, hardest transitions, faults, cautions.
[[nodiscard]] std::string report_text(const report::Report& report);

} // namespace bellhand::cli
