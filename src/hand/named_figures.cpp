#include "hand/named_figures.h"

#include <algorithm>
#include <cmath>
#include <sstream>

namespace bellhand::hand {

namespace {

/// Empty when the line is right, else what is wrong with it.
std::string take_line(const std::string& line, std::vector<NamedFigures>& fields) {
    std::istringstream words(line.substr(0, line.find('#')));
    words.imbue(std::locale::classic());
    std::string name;
    if (!(words >> name)) {
        return {};
    }
    const auto field = std::find_if(
        fields.begin(), fields.end(), [&](const NamedFigures& one) { return name == one.name; });
    if (field == fields.end()) {
        return "the name '" + name + "' is unknown";
    }
    if (field->seen) {
        return "'" + name + "' stands there twice";
    }
    field->seen = true;
    for (double* figure : field->figures) {
        if (!(words >> *figure) || !std::isfinite(*figure)) {
            return "'" + name + "' needs " + std::to_string(field->figures.size()) + " numbers";
        }
    }
    std::string rest;
    return words >> rest ? "'" + name + "' has too many numbers" : std::string();
}

} // namespace

Result<void> read_named_figures(std::string_view text,
                                const std::string& where,
                                std::vector<NamedFigures> fields) {
    if (!text.ends_with('\n')) { // a figure that lost its last digits would pass for another
        return failure(where + " ends within a line; install the program's files again.");
    }
    std::istringstream lines{std::string(text)};
    std::string line;
    for (int number = 1; std::getline(lines, line); ++number) {
        if (const std::string wrong = take_line(line, fields); !wrong.empty()) {
            return failure(where + ", line " + std::to_string(number) + ": " + wrong +
                           "; install the program's files again.");
        }
    }
    for (const NamedFigures& field : fields) {
        if (!field.seen) {
            return failure(where + ": '" + field.name +
                           "' is missing; install the program's files again.");
        }
    }
    return {};
}

} // namespace bellhand::hand
