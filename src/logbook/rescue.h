#pragma once

#include "logbook/logbook.h"

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace bellhand::logbook {

/// What a session could not put into its log (locked, read-only, full) goes to a log of its own, beside it or in the
/// temporary folder, and comes back from there at the next start.

/// `log.sqlite` -> `log.unsaved-20260301T101112.sqlite` in `folder`.
[[nodiscard]] std::filesystem::path rescue_path(const std::filesystem::path& log,
                                                const std::filesystem::path& folder,
                                                const std::string& started_at);

/// Opens such a log and writes into it to which one it belongs. Errors: as `Logbook::open`.
[[nodiscard]] Result<std::unique_ptr<Logbook>> open_rescue(const std::filesystem::path& log,
                                                           const std::filesystem::path& folder,
                                                           const std::string& started_at);

/// What waits for this log, oldest first: beside it, and what this user's program left in the temporary folder.
[[nodiscard]] std::vector<std::filesystem::path> rescued_for(const std::filesystem::path& log);

/// Takes everything that waits into the log, each file in one transaction, then removes the file: killed in between, it
/// is done again and nothing stands there twice. A sentence for each, also for one that cannot be taken in and stays.
[[nodiscard]] std::vector<std::string> bring_back(const std::filesystem::path& log, Logbook& book);

} // namespace bellhand::logbook
