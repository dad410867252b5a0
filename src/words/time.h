#pragma once

#include "drill/remark.h"

#include <string>

namespace bellhand::words {

/// What is said once of the playing as a whole: "You play at 65; written is 76.", "You come 90 ms behind the click, always
/// alike: the headphones, or you."
[[nodiscard]] std::string remark(const drill::Remark& remark);

} // namespace bellhand::words
