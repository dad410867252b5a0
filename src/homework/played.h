#pragma once

// What of a homework stands in the student's log; for the two halves of the student's side only.

#include "homework/counting.h"
#include "logbook/records.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::logbook {
class Logbook;
} // namespace bellhand::logbook

namespace bellhand::homework {

/// The log's record of a homework; empty: it is not there.
[[nodiscard]] Result<std::optional<logbook::HomeworkRecord>> record_of(const std::string& id,
                                                                       logbook::Logbook& book);
/// The same; errors (usage): it is not there.
[[nodiscard]] Result<logbook::HomeworkRecord> known_record(const std::string& id,
                                                           logbook::Logbook& book);

struct Played {
    logbook::SessionRecord session;
    logbook::BlockRecord block;
};
/// Blocks of a homework, oldest first.
[[nodiscard]] Result<std::vector<Played>> blocks_of(const logbook::HomeworkRecord& record,
                                                    logbook::Logbook& book);
/// What each of them came to, in their order.
[[nodiscard]] Result<std::vector<BlockDone>>
done_in(const Homework& homework, const std::vector<Played>& played, logbook::Logbook& book);

/// The take was recorded while this block was played.
[[nodiscard]] bool shows(const logbook::TakeRecord& take, const Played& played);
/// Ids of the takes to send when nobody chooses, in the order of the attempts: of each task the newest, and those kept.
[[nodiscard]] std::vector<std::int64_t> usual_choice(const std::vector<logbook::TakeRecord>& takes,
                                                     const std::vector<Played>& played);

} // namespace bellhand::homework
