#include "desk/model/typed_number.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <system_error>

namespace bellhand::desk {

std::string number_text(double number) {
    char text[32];
    std::snprintf(text, sizeof text, "%g", number);
    return text;
}

std::optional<double> number_in(std::string text) {
    std::replace(text.begin(), text.end(), ',', '.');
    double number = 0.0;
    const char* const end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, number);
    return read.ec == std::errc() && read.ptr == end && std::isfinite(number)
               ? std::optional(number)
               : std::nullopt;
}

std::optional<int> whole_in(const std::string& text, int least, int most) {
    const auto number = number_in(text);
    return number && *number == std::floor(*number) && *number >= least && *number <= most
               ? std::optional(static_cast<int>(*number))
               : std::nullopt;
}

} // namespace bellhand::desk
