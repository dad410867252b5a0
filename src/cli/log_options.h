#pragma once

#include "core/result.h"
#include "logbook/logbook.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>

namespace bellhand::cli {

/// The option --log as the commands around the log share it.
struct LogOptions {
    std::optional<std::string> path;
};

enum class LogUse { look, change };

/// Opens the log that was named, or the usual one. Errors: as the log says; that it is empty, when nothing was ever
/// recorded.
[[nodiscard]] Result<std::unique_ptr<logbook::Logbook>> open_log(const LogOptions& options,
                                                                 LogUse use);

/// Opens a log for writing, made when it is not there. What an earlier session could not put into it comes back first, and
/// takes of a killed program are finished; a sentence of each on standard error.
[[nodiscard]] Result<std::unique_ptr<logbook::Logbook>>
open_and_tidy(const std::filesystem::path& path);
/// The same where something waits and the log can be written; else nothing is done.
void tidy(const std::filesystem::path& path);

inline constexpr std::int64_t kLastSession = -1;
/// Number of a session as it was typed, `kLastSession` for "last". Errors (usage): neither.
[[nodiscard]] Result<std::int64_t> parse_session(const std::string& typed);
/// That number, the newest session's for `kLastSession`. Errors: there is none.
[[nodiscard]] Result<std::int64_t> session_in(logbook::Logbook& log, std::int64_t number);

} // namespace bellhand::cli
