#pragma once

#include "core/result.h"
#include "logbook/logbook.h"

#include <cstdint>
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

inline constexpr std::int64_t kLastSession = -1;
/// Number of a session as it was typed, `kLastSession` for "last". Errors (usage): neither.
[[nodiscard]] Result<std::int64_t> parse_session(const std::string& typed);
/// That number, the newest session's for `kLastSession`. Errors: there is none.
[[nodiscard]] Result<std::int64_t> session_in(logbook::Logbook& log, std::int64_t number);

} // namespace bellhand::cli
