#pragma once

#include "core/result.h"
#include "instrument/planner/change_drill.h"
#include "logbook/logbook.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::app {

/// One crook-change drill on its way into the log: a session of its own.
struct KeptDrill {
    std::int64_t session = 0; ///< number in the log; 0 before it was kept
    logbook::SessionRecord began;
    double duration_s = 0.0;
    std::vector<logbook::CrookChangeRecord> changes; ///< all so far
};

/// The session of a drill as it begins now. `set_list`: its title; empty: a quiz.
[[nodiscard]] logbook::SessionRecord session_of_drill(const instrument::ChangeDrill& drill,
                                                      const std::string& set_list,
                                                      const horn::Tuning& tuning);

/// What came of every change, as the log keeps it. `horn`: name of the profile.
[[nodiscard]] std::vector<logbook::CrookChangeRecord> change_records(
    const instrument::ChangeDrill& drill, const std::string& set_list, const std::string& horn);

/// Puts all of it into the log at once, in place of what was there; the number of its session. To be called again with
/// that number when more is known. Errors: those of the log.
[[nodiscard]] Result<std::int64_t> keep_drill(logbook::Logbook& log, const KeptDrill& drill);

} // namespace bellhand::app
