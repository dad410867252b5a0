#include "desk/model/typed_number.h"

#include "core/number.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace bellhand::desk {

std::string number_text(double number) {
    char text[32];
    std::snprintf(text, sizeof text, "%g", number);
    return text;
}

std::optional<double> number_in(std::string text) {
    std::replace(text.begin(), text.end(), ',', '.');
    return number_of(text);
}

std::optional<int> whole_in(const std::string& text, int least, int most) {
    const auto number = number_in(text);
    return number && *number == std::floor(*number) && *number >= least && *number <= most
               ? std::optional(static_cast<int>(*number))
               : std::nullopt;
}

} // namespace bellhand::desk
