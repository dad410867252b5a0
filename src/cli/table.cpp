#include "cli/commands.h"
#include "terminal/text_width.h"

#include <algorithm>

#include <nlohmann/json.hpp>

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

std::string as_json(const std::vector<Column>& columns, const Rows& rows) {
    // Numbers keep the digits they were printed with: the cell goes in as it is, not through a double.
    std::string out = "[";
    const auto text = [](const std::string& cell) {
        return nlohmann::json(cell).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
    };
    for (std::size_t r = 0; r < rows.size(); ++r) {
        out += r > 0 ? ",\n {" : "\n {";
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const std::string& cell = rows[r][i];
            out += (i > 0 ? ", " : "") + text(columns[i].name) + ": ";
            if (!columns[i].number) {
                out += text(cell);
            } else {
                out += cell.empty() ? "null" : cell;
            }
        }
        out += "}";
    }
    return out + (rows.empty() ? "]\n" : "\n]\n");
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

std::string format_table(const std::vector<Column>& columns, const Rows& rows, TableFormat format) {
    switch (format) {
    case TableFormat::csv:
        return as_csv(columns, rows);
    case TableFormat::json:
        return as_json(columns, rows);
    case TableFormat::table:
        break;
    }
    return as_aligned(columns, rows);
}

} // namespace bellhand::cli
