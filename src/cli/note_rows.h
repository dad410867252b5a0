#pragma once

#include "cli/commands.h"
#include "logbook/logbook.h"
#include "trainer/note_tracker.h"

namespace bellhand::cli {

/// The columns of `bellhand notes`: start_s, duration_s, written, partial, hand, f0_hz, deviation_cents, spread_cents,
/// level_dbfs. The names are a contract.
[[nodiscard]] std::vector<Column> note_columns();
[[nodiscard]] std::vector<std::string> note_row(const trainer::PlayedNote& note);

/// The columns of `bellhand log SESSION`: those, then what the log knows besides.
[[nodiscard]] std::vector<Column> logged_note_columns();
[[nodiscard]] std::vector<std::string> logged_note_row(const logbook::NoteRecord& record);

/// The columns of `bellhand log`.
[[nodiscard]] std::vector<Column> session_columns();
[[nodiscard]] std::vector<std::string> session_row(const logbook::SessionRecord& session);

} // namespace bellhand::cli
