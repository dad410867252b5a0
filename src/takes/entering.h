#pragma once

#include "core/result.h"
#include "takes/journal.h"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace bellhand::logbook {
class Logbook;
} // namespace bellhand::logbook

namespace bellhand::takes {

/// Makes the take of a journal and enters it in the log of which `session` is the session; then the journal goes. May
/// be repeated after any failure: nothing is lost and nothing entered twice. Errors: disk full, log refuses.
[[nodiscard]] Result<void>
finish_take(Journal& journal, logbook::Logbook& book, std::int64_t session);

/// The session a journal belongs to; 0: not in the log.
[[nodiscard]] Result<std::int64_t> session_of(const JournalHead& head, logbook::Logbook& book);

/// What was found when the program started.
struct Recovered {
    std::vector<std::string> takes; ///< file names, now in the log
    std::vector<std::string>
        problems; ///< a sentence for each that could not be finished; it stays and is tried again
};

/// Where takes wait that the folder of takes had no room for: in the temporary folder, under a name of its own.
[[nodiscard]] std::filesystem::path rescue_folder(const std::filesystem::path& takes);

/// First brings back what waits in `rescue_folder`. Finishes the takes that a killed program, a full disk or a refusing log left behind. A take whose session the log does not know
/// gets a session of its own. Those of a running program are left alone.
[[nodiscard]] Recovered finish_abandoned_takes(const std::filesystem::path& folder,
                                               logbook::Logbook& book);

} // namespace bellhand::takes
