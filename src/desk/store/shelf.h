#pragma once

#include "app/kept_changes.h"
#include "core/result.h"
#include "desk/store/homework_shelf.h"
#include "drill/exercise.h"
#include "drill/part_results.h"
#include "horn/tuning.h"
#include "logbook/balances.h"
#include "logbook/records.h"
#include "progress/progress.h"
#include "skill/plan.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// One session of the log with all that belongs to it.
struct SessionContents {
    std::vector<logbook::BlockRecord> blocks;
    std::vector<logbook::NoteRecord> notes;
    std::vector<logbook::TakeRecord> takes;
    std::vector<logbook::CommentRecord> comments;
    std::vector<logbook::CrookChangeRecord> crook_changes; ///< where it is a drill of them
};

/// A stretch of sound, as it was heard.
struct HeardSound {
    std::vector<float> samples;
    double rate_hz = 48000.0;
};

struct TakesRoom {
    std::int64_t used_bytes = 0;
    std::int64_t budget_bytes = 0;
};

/// The window's way to the exercises and the log; tests put their own here. Calls may take a fraction of a
/// second and are made when a page is opened or a key asks for it, never for each frame (but for `listening`).
class Shelf {
public:
    virtual ~Shelf() = default;

    /// Takes into the log what it could not take when it was played; a sentence for each file of such notes, none where none
    /// waits.
    [[nodiscard]] virtual std::vector<std::string> bring_back() = 0;

    /// What to practise in so many minutes. Errors: the log cannot be read.
    [[nodiscard]] virtual Result<skill::DayPlan> plan(const horn::Tuning& tuning,
                                                      double minutes) = 0;
    /// What the log knows of the player.
    [[nodiscard]] virtual Result<skill::Skills> skills() = 0;
    /// Every exercise there is to choose from. Errors: a file of theirs cannot be read.
    [[nodiscard]] virtual Result<std::vector<drill::Exercise>> exercises() = 0;

    /// How the bars of this part went; nothing where nothing is logged. Errors: the log cannot be read.
    [[nodiscard]] virtual Result<drill::BarResults> bars_of(const part::Part& part,
                                                            const part::Plan& plan) = 0;

    /// Newest first, without those in the bin.
    [[nodiscard]] virtual Result<std::vector<logbook::SessionRecord>> sessions() = 0;
    [[nodiscard]] virtual Result<SessionContents> session(std::int64_t id) = 0;
    [[nodiscard]] virtual Result<void> delete_session(std::int64_t id) = 0;
    [[nodiscard]] virtual Result<void> restore_session(std::int64_t id) = 0;
    /// Kept takes are never removed to save room.
    [[nodiscard]] virtual Result<void> keep_take(const logbook::TakeRecord& take, bool kept) = 0;
    /// For good: the file leaves the disk.
    [[nodiscard]] virtual Result<void> remove_take(std::int64_t id) = 0;
    /// How much room takes fill, and may fill.
    [[nodiscard]] virtual Result<TakesRoom> takes_room() = 0;
    /// Sets how much they may fill; gives the sentence on takes that will have to go, empty when all fit. Errors (usage):
    /// too little.
    [[nodiscard]] virtual Result<std::string> set_takes_budget(std::int64_t bytes) = 0;
    [[nodiscard]] virtual Result<void> add_comment(const logbook::CommentRecord& comment) = 0;

    /// What the log says of the day, the week or all of it, up to today.
    [[nodiscard]] virtual Result<progress::Progress> look_back(progress::Range range) = 0;
    /// The same in the course of time, of one crook (its id).
    [[nodiscard]] virtual Result<std::vector<progress::TrendPoint>>
    trend(progress::Range range, const std::string& crook) = 0;

    /// Puts a crook-change drill into the log, in place of what was there of it; the number of its session.
    [[nodiscard]] virtual Result<std::int64_t> keep_drill(const app::KeptDrill& drill) = 0;

    /// Puts into the log how quietly one tone of that session was held.
    [[nodiscard]] virtual Result<void> keep_balance(std::int64_t session,
                                                    const logbook::BalanceRecord& balance) = 0;
    /// All of them, oldest first; none where nothing is logged.
    [[nodiscard]] virtual Result<std::vector<logbook::BalanceRecord>> balances() = 0;

    /// Writes what `look_back` tells as a page to send, a file beside the log; its path.
    [[nodiscard]] virtual Result<std::filesystem::path> write_report(progress::Range range) = 0;

    /// Plays a take from there on. Errors: no output, no such file.
    [[nodiscard]] virtual Result<void>
    listen(const logbook::TakeRecord& take, double from_s, double speed) = 0;
    /// Plays what was heard a moment ago, from there on. Errors: no output, no room for it on the disk.
    [[nodiscard]] virtual Result<void>
    listen(const HeardSound& sound, double from_s, double speed) = 0;
    virtual void stop_listening() = 0;
    [[nodiscard]] virtual ListeningStatus listening() = 0;

    [[nodiscard]] virtual HomeworkShelf& homework() = 0;
};

/// Exercises that come with the program, and the log at this path (empty: nothing is kept). What is written for others goes
/// into the folder of documents, when there is one.
[[nodiscard]] std::shared_ptr<Shelf>
real_shelf(const std::optional<std::filesystem::path>& log_path,
           const std::filesystem::path& documents = {});

} // namespace bellhand::desk
