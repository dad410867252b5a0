#pragma once

#include "part/part.h"
#include "part/plan/plan.h"

#include <string>
#include <vector>

namespace bellhand::part {

/// The cells of one planned note: bar, beat, note, written, sounding, crook, partial, hand, lips_cents, cost, reason. A
/// contract of CSV and JSON.
struct PlanColumn {
    const char* name;
    bool number;
};
[[nodiscard]] const std::vector<PlanColumn>& plan_columns();

/// Rows of ready cells for the attacks in bars `first` to `last` (indices); what no way reaches has empty cells.
[[nodiscard]] std::vector<std::vector<std::string>>
plan_rows(const Part& part, const Plan& plan, int first, int last);

/// The same as a JSON object with the part, its crook changes, doubts, pins and impossible notes.
[[nodiscard]] std::string
plan_json(const Score& score, const Part& part, const Plan& plan, int first, int last);

} // namespace bellhand::part
