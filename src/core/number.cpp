#include "core/number.h"

#include <cmath>
#include <locale>
#include <sstream>
#include <string>

namespace bellhand {

std::optional<double> number_of(std::string_view text) {
    if (text.find_first_not_of("0123456789.eE+-") != std::string_view::npos ||
        text.substr(0, 1) == "+") {
        return std::nullopt;
    }
    // Not std::from_chars: not every standard library has it for such numbers.
    std::istringstream in{std::string(text)};
    in.imbue(std::locale::classic());
    double number = 0.0;
    in >> number;
    return !in.fail() && in.peek() == std::istringstream::traits_type::eof() &&
                   std::isfinite(number)
               ? std::optional(number)
               : std::nullopt;
}

} // namespace bellhand
