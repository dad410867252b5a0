#include "cli/answer.h"

#include <array>
#include <cstdlib>
#include <string_view>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace bellhand::cli {

namespace {

using Json = nlohmann::ordered_json;
using Cells = std::vector<std::vector<std::string>>;

constexpr int kVersion = 1;

std::string dumped(const Json& json, int indent) {
    return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

template <typename T>
Json or_null(const std::optional<T>& value) {
    return value ? Json(*value) : Json();
}

Json question_json(const Question& question) {
    Json out{{"crook", nullptr},
             {"a4_hz", or_null(question.a4_hz)},
             {"temperature_c", or_null(question.temperature_c)},
             {"temperament", nullptr},
             {"root", nullptr},
             {"anchor", nullptr},
             {"enharmonic", nullptr},
             {"profile", or_null(question.profile)}};
    if (question.tuning) {
        const horn::Tuning& tuning = *question.tuning;
        out["crook"] = tuning.crook.id;
        out["a4_hz"] = tuning.a4_hz;
        out["temperament"] = tuning.temperament.id;
        out["root"] = horn::step_name(horn::root_step(tuning));
        out["anchor"] = horn::anchor_id(tuning.footing.anchor);
        out["enharmonic"] = horn::enharmonic_id(tuning.footing.enharmonic);
    }
    for (const auto& [name, value] : question.more) {
        out[name] = std::visit(
            [](const auto& one) {
                if constexpr (std::is_same_v<std::decay_t<decltype(one)>, std::monostate>) {
                    return Json();
                } else {
                    return Json(one);
                }
            },
            value);
    }
    return out;
}

struct Si {
    std::string_view ending;
    std::string_view instead;
    double factor;
};
constexpr std::array<Si, 3> kSi{
    {{"_per_mm", "_per_m", 1e3}, {"_mm", "_m", 1e-3}, {"_ms", "_s", 1e-3}}};

/// Columns named and cells printed in SI units.
struct SiTable {
    std::vector<std::string> names;
    std::vector<Column> columns; ///< pointing into `names`
    Cells rows;

    SiTable(const std::vector<Column>& from, Cells cells) : columns(from), rows(std::move(cells)) {
        for (const Column& column : columns) {
            names.emplace_back(column.name);
        }
        for (std::size_t i = 0; i < columns.size(); ++i) {
            convert(i);
            columns[i].name = names[i].c_str();
        }
    }

private:
    void convert(std::size_t column) {
        std::string& name = names[column];
        for (const Si& si : kSi) {
            if (!columns[column].number || !name.ends_with(si.ending)) {
                continue;
            }
            name.replace(name.size() - si.ending.size(), si.ending.size(), si.instead);
            for (auto& row : rows) {
                std::string& cell = row[column];
                cell = cell.empty()
                           ? cell
                           : fmt::format("{:.9g}", si.factor * std::strtod(cell.c_str(), nullptr));
            }
            return;
        }
    }
};

std::string rows_json(const std::vector<Column>& columns, const Cells& rows) {
    // Numbers keep the digits they were printed with: the cell goes in as it is, not through a double.
    std::string out = "[";
    for (std::size_t r = 0; r < rows.size(); ++r) {
        out += r > 0 ? ",\n  {" : "\n  {";
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const std::string& cell = rows[r][i];
            out += (i > 0 ? ", " : "") + dumped(Json(columns[i].name), -1) + ": ";
            if (!columns[i].number) {
                out += dumped(Json(cell), -1);
            } else {
                out += cell.empty() ? "null" : cell;
            }
        }
        out += "}";
    }
    return out + (rows.empty() ? "]" : "\n ]");
}

} // namespace

std::string answer_json(const char* name, const Question& question, const std::string& answer) {
    return fmt::format("{{\n \"format\": \"bellhand-{}\",\n \"version\": {},\n \"question\": {},\n "
                       "\"answer\": {}\n}}\n",
                       name,
                       kVersion,
                       dumped(question_json(question), -1),
                       answer);
}

std::string answer_line(const char* name, const Question& question, const std::string& answer) {
    return fmt::format(
        R"({{"format": "bellhand-{}", "version": {}, "question": {}, "answer": {}}})",
        name,
        kVersion,
        dumped(question_json(question), -1),
        answer);
}

std::string answer_table(const char* name,
                         const Question& question,
                         const std::vector<Column>& columns,
                         const Cells& rows,
                         TableFormat format) {
    if (format != TableFormat::json) {
        return format_table(
            columns, rows, format == TableFormat::csv ? PlainFormat::csv : PlainFormat::aligned);
    }
    const SiTable si(columns, rows);
    return answer_json(name, question, rows_json(si.columns, si.rows));
}

} // namespace bellhand::cli
