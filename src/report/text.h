#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace bellhand::report {

/// For the inside of an element or a quoted attribute of HTML or SVG: markup becomes references, control characters
/// become spaces, what is not UTF-8 becomes U+FFFD.
[[nodiscard]] std::string escaped(std::string_view text);

/// "+2.1", "−0.4", "0.0": one decimal, a real minus.
[[nodiscard]] std::string signed_text(double value);
/// "1 243": thin spaces between thousands.
[[nodiscard]] std::string count_text(std::int64_t count);
/// "78 %".
[[nodiscard]] std::string percent_text(double share);
/// "48 s", "12 min", "3 h 05 min".
[[nodiscard]] std::string duration_text(double seconds);
/// "0:07", "12:40", "1:02:03"; nothing below nought.
[[nodiscard]] std::string clock_text(double seconds);

} // namespace bellhand::report
