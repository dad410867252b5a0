#include "report/export.h"

#include "report/export_rows.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace bellhand::report {

namespace {

/// Shortest text that reads back as the same number.
std::string number_text(double value) {
    return std::isfinite(value) ? fmt::format("{}", value) : std::string();
}

std::string csv_text(const std::string& text) {
    std::string cell = text;
    if (!cell.empty() &&
        std::string_view("=+-@\t\r").find(cell.front()) != std::string_view::npos) {
        cell.insert(cell.begin(), '\'');
    }
    if (cell.find_first_of(",\"\r\n") == std::string::npos) {
        return cell;
    }
    std::string out = "\"";
    for (const char c : cell) {
        out += c == '"' ? std::string("\"\"") : std::string(1, c);
    }
    return out + '"';
}

std::string csv_cell(const Cell& cell) {
    switch (cell.kind) {
    case Cell::Kind::nothing:
        break;
    case Cell::Kind::truth:
        return cell.whole != 0 ? "yes" : "no";
    case Cell::Kind::whole:
        return std::to_string(cell.whole);
    case Cell::Kind::real:
        return number_text(cell.real);
    case Cell::Kind::text:
        return csv_text(cell.text);
    }
    return {};
}

nlohmann::ordered_json json_cell(const Cell& cell) {
    switch (cell.kind) {
    case Cell::Kind::nothing:
        break;
    case Cell::Kind::truth:
        return cell.whole != 0;
    case Cell::Kind::whole:
        return cell.whole;
    case Cell::Kind::real:
        return std::isfinite(cell.real) ? nlohmann::ordered_json(cell.real)
                                        : nlohmann::ordered_json();
    case Cell::Kind::text:
        return cell.text;
    }
    return nullptr;
}

/// All sessions from the oldest on, or the one that is asked for.
Result<std::vector<logbook::SessionRecord>>
chosen_sessions(logbook::Logbook& log, const std::optional<std::int64_t>& session) {
    auto sessions = log.sessions();
    if (!sessions) {
        return sessions;
    }
    std::reverse(sessions->begin(), sessions->end());
    if (session) {
        std::erase_if(*sessions, [&](const auto& record) { return record.id != *session; });
        if (sessions->empty()) {
            // The log's own sentence: there is none, or it lies in the bin.
            if (const auto notes = log.notes(*session); !notes) {
                return tl::unexpected<Error>(notes.error());
            }
        }
    }
    return sessions;
}

template <typename Each>
Result<void> for_each_row(logbook::Logbook& log,
                          Table table,
                          const std::vector<logbook::SessionRecord>& sessions,
                          const Each& each) {
    for (const logbook::SessionRecord& session : sessions) {
        const auto rows = rows_of(log, table, session);
        if (!rows) {
            return tl::unexpected<Error>(rows.error());
        }
        for (const Row& row : *rows) {
            each(row);
        }
    }
    return {};
}

} // namespace

Result<void> export_csv(logbook::Logbook& log,
                        Table table,
                        const std::optional<std::int64_t>& session,
                        const Sink& sink) {
    const auto sessions = chosen_sessions(log, session);
    if (!sessions) {
        return tl::unexpected<Error>(sessions.error());
    }
    sink(fmt::format("{}\n", fmt::join(columns_of(table), ",")));
    return for_each_row(log, table, *sessions, [&](const Row& row) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            line += i == 0 ? "" : ",";
            line += csv_cell(row[i]);
        }
        sink(line + "\n");
    });
}

Result<void>
export_json(logbook::Logbook& log, const std::optional<std::int64_t>& session, const Sink& sink) {
    const auto sessions = chosen_sessions(log, session);
    if (!sessions) {
        return tl::unexpected<Error>(sessions.error());
    }
    sink(fmt::format("{{\n\"format\": \"bellhand-log\",\n\"version\": 2,\n\"question\": "
                     "{{\"session\": {}}},\n\"answer\": {{",
                     session ? std::to_string(*session) : "null"));
    const char* comma = "";
    for (const Table table : all_tables()) {
        sink(fmt::format("{}\n\"{}\": [", comma, table_id(table)));
        comma = ",";
        const char* before = "\n";
        const auto columns = columns_of(table);
        auto written = for_each_row(log, table, *sessions, [&](const Row& row) {
            nlohmann::ordered_json object;
            for (std::size_t i = 0; i < row.size(); ++i) {
                object[columns[i]] = json_cell(row[i]);
            }
            sink(before);
            sink(object.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace));
            before = ",\n";
        });
        if (!written) {
            return written;
        }
        sink("\n]");
    }
    sink("\n}\n}\n");
    return {};
}

} // namespace bellhand::report
