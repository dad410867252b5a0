#pragma once

#include "logbook/records.h"
#include "logbook/sqlite.h"

namespace bellhand::logbook {

// The columns `root`, `anchor`, `enharmonic` of sessions, blocks and notes, always in this order.

void bind_footing(Statement& statement, const FootingRecord& footing);

/// From the row's columns `first` on.
[[nodiscard]] FootingRecord footing_from(const Statement& row, int first);

} // namespace bellhand::logbook
