#pragma once

#include "cli/commands.h"

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace bellhand::cli {

/// What a command was asked. It stands in every JSON answer, so that a figure never parts from its crook, pitch and air;
/// what plays no part is null there.
struct Question {
    using Value = std::variant<std::monostate, bool, double, std::string>;

    std::optional<horn::Tuning> tuning; ///< crook, A4, temperament with root, anchor and enharmonic
    std::optional<double> a4_hz;        ///< where there is no crook
    std::optional<double> temperature_c;
    std::optional<std::string> profile;
    std::vector<std::pair<std::string, Value>> more{}; ///< what only this command is asked
};

/// Rows of ready cells as an aligned table, as CSV, or as a JSON object with `format` ("bellhand-" and `name`),
/// `version`, `question` and `answer`, the rows as objects. The JSON is in SI units: a column whose name ends in _mm, _ms or
/// _per_mm becomes _m, _s or _per_m there, its cells with it. Schema: assets/schema/answers.schema.json.
[[nodiscard]] std::string answer_table(const char* name,
                                       const Question& question,
                                       const std::vector<Column>& columns,
                                       const std::vector<std::vector<std::string>>& rows,
                                       TableFormat format);

/// The same object round an answer that is JSON already.
[[nodiscard]] std::string
answer_json(const char* name, const Question& question, const std::string& answer);

/// The same in one line, without a line feed: for events as they happen.
[[nodiscard]] std::string
answer_line(const char* name, const Question& question, const std::string& answer);

} // namespace bellhand::cli
