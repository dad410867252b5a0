#pragma once

#include "core/result.h"
#include "logbook/sqlite.h"

#include <cstdint>
#include <filesystem>

namespace bellhand::logbook {

/// The newest version of the log's tables.
[[nodiscard]] std::int64_t schema_version() noexcept;

/// The version of an open file, 0 for an empty one. Errors: it is not a log, or a newer one.
[[nodiscard]] Result<std::int64_t> version_of(Database& database,
                                              const std::filesystem::path& path);

/// Applies the migrations from `version` on, each in a transaction of its own.
[[nodiscard]] Result<void> bring_up_to_date(Database& database, std::int64_t version);

} // namespace bellhand::logbook
