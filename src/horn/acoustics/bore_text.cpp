#include "horn/acoustics/bore_text.h"

#include "core/number.h"

#include <array>
#include <cstdio>
#include <optional>
#include <vector>

namespace bellhand::horn::acoustics {

namespace {

constexpr std::size_t kMostLines = 6000;
constexpr const char* kExample = "length_mm,start_diameter_mm,end_diameter_mm";

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kBlank = " \t\r";
    const auto from = text.find_first_not_of(kBlank);
    if (from == std::string_view::npos) {
        return {};
    }
    return text.substr(from, text.find_last_not_of(kBlank) - from + 1);
}

std::vector<std::string_view> cells_of(std::string_view line) {
    std::vector<std::string_view> cells;
    while (true) {
        const auto comma = line.find(',');
        cells.push_back(trimmed(line.substr(0, comma)));
        if (comma == std::string_view::npos) {
            return cells;
        }
        line.remove_prefix(comma + 1);
    }
}

/// What a column means: which of length, start and end radius, and the factor to metres.
struct Meaning {
    std::size_t field = 0;
    double to_metres = 1.0;
};

std::optional<Meaning> meaning_of(std::string_view name) {
    constexpr std::array<std::string_view, 5> kNames{
        "length", "start_radius", "end_radius", "start_diameter", "end_diameter"};
    for (std::size_t i = 0; i < kNames.size(); ++i) {
        for (const auto& [unit, factor] : {std::pair{"_mm", 1e-3}, std::pair{"_m", 1.0}}) {
            if (name == std::string(kNames[i]) + unit) {
                const bool diameter = i >= 3;
                return Meaning{diameter ? i - 2 : i, diameter ? 0.5 * factor : factor};
            }
        }
    }
    return std::nullopt;
}

/// A cell as far as a sentence can show it: no control characters, not too long.
std::string quoted(std::string_view text) {
    constexpr std::size_t kMost = 40;
    std::string shown(text.substr(0, kMost));
    for (char& c : shown) {
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) {
            c = '?';
        }
    }
    return "\"" + shown + (text.size() > kMost ? "..." : "") + "\"";
}

Result<std::vector<Meaning>> read_header(std::string_view line, const std::string& where) {
    std::vector<Meaning> columns;
    std::array<bool, 3> seen{};
    for (const std::string_view cell : cells_of(line)) {
        const auto meaning = meaning_of(cell);
        if (!meaning) {
            return usage_error(where + ": the first line must name the columns, such as " +
                               kExample + "; " + quoted(cell) + " is none of them");
        }
        if (seen[meaning->field]) {
            return usage_error(where + ": the column " + quoted(cell) +
                               " repeats what another column says; keep one");
        }
        seen[meaning->field] = true;
        columns.push_back(*meaning);
    }
    if (columns.size() < 3) {
        return usage_error(where + ": three columns are needed, such as " + kExample);
    }
    return columns;
}

Result<Segment>
read_segment(std::string_view line, const std::vector<Meaning>& columns, const std::string& place) {
    const auto cells = cells_of(line);
    if (cells.size() != columns.size()) {
        return usage_error(place + " has " + std::to_string(cells.size()) + " cells instead of " +
                           std::to_string(columns.size()));
    }
    std::array<double, 3> values{};
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const std::optional<double> value = number_of(cells[i]);
        if (!value) {
            return usage_error(place + ": " + quoted(cells[i]) +
                               " is not a number; write millimetres like 12.5");
        }
        values[columns[i].field] = *value * columns[i].to_metres;
    }
    return Segment{values[0], values[1], values[2]};
}

} // namespace

Result<Bore> parse_bore(std::string_view text, const std::string& where) {
    Bore bore;
    std::vector<Meaning> columns;
    std::size_t number = 0;
    constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
    if (text.substr(0, kByteOrderMark.size()) == kByteOrderMark) {
        text.remove_prefix(kByteOrderMark.size());
    }
    while (!text.empty()) {
        const auto end = text.find('\n');
        const std::string_view line = trimmed(text.substr(0, end));
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        ++number;
        if (number > kMostLines) {
            return usage_error(where + " has more than " + std::to_string(kMostLines) +
                               " lines; no bore needs so many segments");
        }
        if (line.empty() || line.front() == '#') {
            continue;
        }
        if (columns.empty()) {
            auto header = read_header(line, where);
            if (!header) {
                return tl::unexpected(header.error());
            }
            columns = std::move(*header);
            continue;
        }
        const auto segment =
            read_segment(line, columns, where + ", line " + std::to_string(number));
        if (!segment) {
            return tl::unexpected(segment.error());
        }
        bore.segments.push_back(*segment);
    }
    if (columns.empty()) {
        return usage_error(where + " is empty; the first line names the columns, such as " +
                           kExample);
    }
    auto checked = checked_bore(std::move(bore));
    if (!checked) {
        return usage_error(where + ": " + checked.error().message);
    }
    return checked;
}

std::string bore_text(const Bore& bore) {
    std::string text = std::string(kExample) + "\n";
    for (const Segment& segment : bore.segments) {
        char line[96];
        std::snprintf(line,
                      sizeof line,
                      "%.6g,%.6g,%.6g\n",
                      1e3 * segment.length_m,
                      2e3 * segment.radius_in_m,
                      2e3 * segment.radius_out_m);
        text += line;
    }
    return text;
}

} // namespace bellhand::horn::acoustics
