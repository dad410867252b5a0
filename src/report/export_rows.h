#pragma once

#include "report/export.h"

#include <cstdint>
#include <string>
#include <utility>

namespace bellhand::report {

/// One value of a row.
struct Cell {
    enum class Kind { nothing, truth, whole, real, text };
    Kind kind = Kind::nothing;
    std::int64_t whole = 0; ///< also a truth: 0 or 1
    double real = 0.0;
    std::string text;

    Cell() = default;
    Cell(bool value) : kind(Kind::truth), whole(value ? 1 : 0) {}
    Cell(std::int64_t value) : kind(Kind::whole), whole(value) {}
    Cell(double value) : kind(Kind::real), real(value) {}
    Cell(std::string value) : kind(Kind::text), text(std::move(value)) {}
    Cell(const char* value) : kind(Kind::text), text(value) {}
};
using Row = std::vector<Cell>;

/// The rows of a table that belong to one session, cells as `columns_of` names them.
[[nodiscard]] Result<std::vector<Row>>
rows_of(logbook::Logbook& log, Table table, const logbook::SessionRecord& session);

} // namespace bellhand::report
