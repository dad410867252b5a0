#pragma once

#include <optional>
#include <string>

namespace bellhand::desk {

/// "0.75": no more digits than needed.
[[nodiscard]] std::string number_text(double number);
/// The whole text as a number; a comma is as good as a point. Empty: it is none.
[[nodiscard]] std::optional<double> number_in(std::string text);
/// The same, a whole one in this range.
[[nodiscard]] std::optional<int> whole_in(const std::string& text, int least, int most);

} // namespace bellhand::desk
