#pragma once

#include "core/result.h"
#include "logbook/logbook.h"

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::report {

/// The tables of an export. Their columns are a contract: new ones are added at the end, none is renamed.
enum class Table { sessions, blocks, notes, steps, takes, comments, crook_changes };

[[nodiscard]] std::span<const Table> all_tables() noexcept;
/// "sessions", "blocks", ...
[[nodiscard]] const char* table_id(Table table) noexcept;
/// Errors (usage): no such table.
[[nodiscard]] Result<Table> parse_table(std::string_view text);
[[nodiscard]] std::span<const char* const> columns_of(Table table) noexcept;

/// Takes the text of an export piece by piece.
using Sink = std::function<void(std::string_view)>;

/// One table of the whole log, or of one session: a header, then a line a row (RFC 4180 with line feeds). Empty cells
/// where nothing is known. Text that a spreadsheet would take for a formula gets an apostrophe before it.
[[nodiscard]] Result<void> export_csv(logbook::Logbook& log,
                                      Table table,
                                      const std::optional<std::int64_t>& session,
                                      const Sink& sink);

/// Everything as one JSON object: `format` "bellhand-log", `version` 2, the `question` (which session) and as `answer`
/// each table's rows as objects under its name.
[[nodiscard]] Result<void>
export_json(logbook::Logbook& log, const std::optional<std::int64_t>& session, const Sink& sink);

} // namespace bellhand::report
