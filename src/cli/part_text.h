#pragma once

#include "cli/part_perform.h"
#include "core/result.h"
#include "part/part.h"
#include "part/plan/plan.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::cli {

/// What `part` says of one part: crooks with bars, compass, hands, hardest bars, notes out of reach, doubts, open
/// questions. `plan` is empty while a question is open. `bars`: whose notes these are; empty: all.
[[nodiscard]] std::string part_summary(const part::Part& part,
                                       const std::optional<part::Plan>& plan,
                                       const std::optional<drill::PartBars>& bars = std::nullopt);

/// "P9 E♭ Horn 1, P10 E♭ Horn 2": at most thirty.
[[nodiscard]] std::string part_list(const part::Score& score,
                                    const std::vector<std::size_t>& parts);

/// The ranking of crooks as a table.
[[nodiscard]] std::string crook_ranking(const part::Part& part,
                                        const std::vector<part::CrookFit>& fits);

/// The crooks that were typed: "Eb", or "151=Eb" from bar 151. Errors (usage): no such crook.
[[nodiscard]] Result<std::vector<part::SaidCrook>>
crooks_said(const std::vector<std::string>& typed);

/// The bars that were typed, "12-40" or "12", as indices; all of them where nothing was. Errors (usage): no such bars.
[[nodiscard]] Result<drill::PartBars> bars_said(const part::Part& part,
                                                const std::optional<std::string>& typed);

} // namespace bellhand::cli
