#pragma once

#include "core/result.h"
#include "homework/package.h"
#include "logbook/records.h"
#include "skill/plan.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::logbook {
class Logbook;
} // namespace bellhand::logbook

namespace bellhand::homework {

/// What opening a file did.
struct Taken {
    bool known = false;       ///< it was in the log already
    std::size_t comments = 0; ///< of the teacher that are new, now in the log
};

/// Takes an opened homework into the log, so that the plan of the day asks for it, and the teacher's comments to the
/// takes they are about. Opening the same file again changes nothing. `opened_at`: UTC, ISO 8601. Errors (usage): another
/// homework of the same id is there.
[[nodiscard]] Result<Taken>
take_in(const Package& package, const std::string& opened_at, logbook::Logbook& book);

/// The homework of that id as it was taken in. Errors (usage): it is not in the log.
[[nodiscard]] Result<Homework> from_log(const std::string& id, logbook::Logbook& book);

/// A homework in the log, and how far it has come.
struct Given {
    Homework homework;
    std::string received_at; ///< UTC, ISO 8601
    std::string returned_at; ///< the same; empty while it is not
    std::vector<int> done;   ///< how often each task was done, as its teacher counts
};

/// All that was taken in, newest first.
[[nodiscard]] Result<std::vector<Given>> given(logbook::Logbook& book);

/// A take in the log that shows a task of a homework.
struct WorkTake {
    logbook::TakeRecord take;
    int task = 0;
    bool usual = false; ///< goes back when nothing else is chosen
};

/// Oldest first. Errors (usage): the homework is not in the log.
[[nodiscard]] Result<std::vector<WorkTake>> work_takes(const std::string& id,
                                                       logbook::Logbook& book);

/// What is still to be done of one homework. `today`: ISO date.
[[nodiscard]] std::vector<skill::SetWork> still_to_do(const std::string& today, const Given& given);

/// What is still to be done of all homework that was not returned; for `skill::PlanWishes`. `today`: ISO date.
[[nodiscard]] Result<std::vector<skill::SetWork>> still_to_do(const std::string& today,
                                                              logbook::Logbook& book);

/// What the student chooses for the way back.
struct ReturnWishes {
    std::string returned_at; ///< UTC, ISO 8601
    std::string words;
    std::optional<std::vector<std::int64_t>>
        takes; ///< ids in the log; empty: of each task the newest, and those marked kept
    std::optional<instrument::Profile> profile;
};

/// The file that goes back: every attempt in the log with its judged steps, and the chosen takes from the folder of
/// the log's takes. The log is told that it was returned by `mark_returned`, once the file is safely written.
/// Errors: nothing was played of it yet; a take that is not there.
[[nodiscard]] Result<Package> returned(const std::string& id,
                                       const ReturnWishes& wishes,
                                       const std::filesystem::path& takes_folder,
                                       logbook::Logbook& book);
[[nodiscard]] Result<void>
mark_returned(const std::string& id, const std::string& returned_at, logbook::Logbook& book);

} // namespace bellhand::homework
