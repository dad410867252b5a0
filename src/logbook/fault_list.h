#pragma once

#include "drill/judgement.h"

#include <string>
#include <string_view>
#include <vector>

namespace bellhand::logbook {

/// "flat late": ids separated by spaces; empty: good.
[[nodiscard]] std::string fault_list(const std::vector<drill::Fault>& faults);

/// The way back. What is no fault is passed over.
[[nodiscard]] std::vector<drill::Fault> faults_from(std::string_view list);

} // namespace bellhand::logbook
