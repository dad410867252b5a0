#pragma once

#include "skill/plan.h"

#include <string>
#include <vector>

namespace bellhand::skill {

/// Why an item is in the plan: "stopped F4 on E♭: 4 of the last 9 right, 3 flat, 2 another partial, not played for 6 days,
/// usually 14 cents flat".
[[nodiscard]] std::string
reason_sentence(const Skills& skills, const Item& item, Reason reason, std::int64_t now_s);
/// "; with it open G4 and stopped A♭4"; empty for one item.
[[nodiscard]] std::string with_companions(const std::vector<Item>& items);

} // namespace bellhand::skill
