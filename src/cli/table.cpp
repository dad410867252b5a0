#include "cli/commands.h"
#include "terminal/text_width.h"

#include <algorithm>

namespace bellhand::cli {

namespace {

using Rows = std::vector<std::vector<std::string>>;

std::string csv_cell(const std::string& cell) {
    if (cell.find_first_of(",\"\r\n") == std::string::npos) {
        return cell;
    }
    std::string quoted = "\"";
    for (const char c : cell) {
        if (c == '"') {
            quoted += '"';
        }
        quoted += c;
    }
    return quoted + '"';
}

std::string as_csv(const std::vector<Column>& columns, const Rows& rows) {
    std::string out;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        out += (i > 0 ? "," : "") + csv_cell(columns[i].name);
    }
    out += '\n';
    for (const auto& row : rows) {
        for (std::size_t i = 0; i < row.size(); ++i) {
            out += (i > 0 ? "," : "") + csv_cell(row[i]);
        }
        out += '\n';
    }
    return out;
}

std::string as_aligned(const std::vector<Column>& columns, const Rows& rows) {
    std::vector<std::size_t> width(columns.size());
    for (std::size_t i = 0; i < columns.size(); ++i) {
        width[i] = terminal::display_width(columns[i].name);
        for (const auto& row : rows) {
            width[i] = std::max(width[i], terminal::display_width(row[i]));
        }
    }
    std::string out;
    const auto add_line = [&](const auto& cell_of) {
        std::string line;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const std::string cell = cell_of(i);
            const std::string padding(width[i] - terminal::display_width(cell), ' ');
            line += i > 0 ? "  " : "";
            line += columns[i].number ? padding + cell : cell + padding;
        }
        line.erase(line.find_last_not_of(' ') + 1);
        out += line + '\n';
    };
    add_line([&](std::size_t i) { return std::string(columns[i].name); });
    for (const auto& row : rows) {
        add_line([&](std::size_t i) { return row[i]; });
    }
    return out;
}

} // namespace

std::string format_table(const std::vector<Column>& columns, const Rows& rows, PlainFormat format) {
    return format == PlainFormat::csv ? as_csv(columns, rows) : as_aligned(columns, rows);
}

} // namespace bellhand::cli
