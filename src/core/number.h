#pragma once

#include <optional>
#include <string_view>

namespace bellhand {

/// A finite number that is the whole text, with a decimal point whatever the player's language, without a plus sign or
/// blanks; else empty.
[[nodiscard]] std::optional<double> number_of(std::string_view text);

} // namespace bellhand
