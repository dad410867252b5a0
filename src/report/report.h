#pragma once

#include "core/result.h"
#include "logbook/logbook.h"
#include "progress/progress.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::report {

/// One session with all that belongs to it.
struct SessionPages {
    logbook::SessionRecord session;
    std::int64_t day = 0; ///< local
    std::string clock;
    std::vector<logbook::BlockRecord> blocks;
    std::vector<logbook::TakeRecord> takes;
    std::vector<logbook::CommentRecord> comments;
};

/// What a report tells.
struct Report {
    std::string player;  ///< name to print, or empty
    std::string made_on; ///< "1 Mar 2026"
    logbook::Days days;  ///< for the whole log: from its first day with practice
    progress::Progress progress;
    std::vector<SessionPages> sessions; ///< newest first, at most `kMostSessions`
    std::int64_t earlier_sessions = 0;  ///< of the range, not listed
    std::vector<std::string> cautions;
};
inline constexpr std::size_t kMostSessions = 60;

/// Reads it from the log. `last_day`: the range ends there.
[[nodiscard]] Result<Report> gather(logbook::Logbook& log,
                                    progress::Range range,
                                    std::int64_t last_day,
                                    const std::string& player);

/// One page of HTML that needs nothing else: charts inline, no script, no links; its text escaped, whoever wrote it.
/// Well-formed as XML too. Prints on A4 and letter paper.
[[nodiscard]] std::string html_page(const Report& report);

} // namespace bellhand::report
