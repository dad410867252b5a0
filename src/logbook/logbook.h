#pragma once

#include "core/calendar.h"
#include "core/result.h"
#include "horn/tuning.h"
#include "logbook/records.h"
#include "logbook/tallies.h"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace bellhand::logbook {

/// `$XDG_DATA_HOME/bellhand/log.sqlite`, else `~/.local/share/...`.
[[nodiscard]] std::filesystem::path default_path();

/// Where the takes of a log lie: `log.sqlite` -> `log-takes` beside it.
[[nodiscard]] std::filesystem::path takes_folder(const std::filesystem::path& log);

/// Sessions in the bin stay this long.
inline constexpr int kBinDays = 30;

/// The log: one SQLite file in WAL mode. All calls may wait for the disk: never from the sound or analysis thread.
/// Each write is a transaction of its own unless `together` joins several, so that a killed program loses only what it
/// had not yet been told. What is put is found again by its own number (note, block and step in order, take by its
/// file), so that a write whose fate is unknown may simply be repeated.
class Logbook {
public:
    /// Creates the file and its folder when they are not there; brings older files up to date; empties the bin of what
    /// lay there for `kBinDays`. Errors: locked by another program, read-only, not a log, damaged, disk full, written
    /// by a newer Bellhand: each its own sentence.
    [[nodiscard]] static Result<std::unique_ptr<Logbook>> open(const std::filesystem::path& path);
    /// For looking only: the file must exist.
    [[nodiscard]] static Result<std::unique_ptr<Logbook>>
    open_for_reading(const std::filesystem::path& path);
    virtual ~Logbook() = default;

    /// All that `work` writes is saved at once or not at all: an error from it undoes what was done before.
    [[nodiscard]] virtual Result<void> together(const std::function<Result<void>()>& work) = 0;

    [[nodiscard]] virtual Result<std::int64_t> begin_session(const SessionRecord& session) = 0;
    /// Inserts the note, or replaces the one of the same index (a long note is saved while it sounds).
    [[nodiscard]] virtual Result<void>
    put_note(std::int64_t session, const horn::Tuning& tuning, const trainer::PlayedNote& note) = 0;
    [[nodiscard]] virtual Result<void> end_session(std::int64_t session, double duration_s) = 0;

    [[nodiscard]] virtual Result<std::vector<SessionRecord>> sessions() = 0; ///< newest first
    [[nodiscard]] virtual Result<std::vector<NoteRecord>> notes(std::int64_t session) = 0;

    /// Inserts the block, or replaces the one of the same number.
    [[nodiscard]] virtual Result<void> put_block(std::int64_t session,
                                                 const BlockRecord& block) = 0;
    /// Inserts the step, or replaces the one of the same number. Errors: there is no such block.
    [[nodiscard]] virtual Result<void>
    put_step(std::int64_t session, std::uint32_t block, const JudgedStep& step) = 0;
    [[nodiscard]] virtual Result<std::vector<BlockRecord>> blocks(std::int64_t session) = 0;
    /// Of all blocks of the session, in order.
    [[nodiscard]] virtual Result<std::vector<JudgedStep>> steps(std::int64_t session) = 0;

    /// Inserts the change, or replaces the one of the same number.
    [[nodiscard]] virtual Result<void> put_crook_change(std::int64_t session,
                                                        const CrookChangeRecord& change) = 0;
    [[nodiscard]] virtual Result<void> remove_crook_change(std::int64_t session,
                                                           std::uint32_t number) = 0;
    [[nodiscard]] virtual Result<std::vector<CrookChangeRecord>>
    crook_changes(std::int64_t session) = 0;
    /// Of all sessions that are not in the bin, oldest first; with `days` of these alone.
    [[nodiscard]] virtual Result<std::vector<CrookChangeRecord>>
    all_crook_changes(const std::optional<Days>& days) = 0;

    /// Inserts the take, or replaces the one of the same file; gives its id. Errors (usage): a file name that is a path.
    [[nodiscard]] virtual Result<std::int64_t> put_take(const TakeRecord& take) = 0;
    [[nodiscard]] virtual Result<std::vector<TakeRecord>> takes(std::int64_t session) = 0;
    /// Of all sessions that are not in the bin, oldest first.
    [[nodiscard]] virtual Result<std::vector<TakeRecord>> all_takes() = 0;
    /// Bytes of all takes, those of sessions in the bin included.
    [[nodiscard]] virtual Result<std::int64_t> takes_bytes() = 0;
    /// The take leaves the log and its file the disk.
    [[nodiscard]] virtual Result<void> remove_take(std::int64_t take) = 0;
    /// Errors (usage): no such session, take or note; empty text.
    [[nodiscard]] virtual Result<std::int64_t> add_comment(const CommentRecord& comment) = 0;
    [[nodiscard]] virtual Result<std::vector<CommentRecord>> comments(std::int64_t session) = 0;
    [[nodiscard]] virtual Result<void> remove_comment(std::int64_t comment) = 0;

    /// Moves the session with all that belongs to it into the bin: it is seen nowhere until it is restored.
    /// Errors (usage): no such session.
    [[nodiscard]] virtual Result<void> delete_session(std::int64_t session) = 0;
    /// Takes it back out, whole. Errors (usage): it is not in the bin.
    [[nodiscard]] virtual Result<void> restore_session(std::int64_t session) = 0;
    [[nodiscard]] virtual Result<std::vector<SessionRecord>> bin() = 0; ///< last deleted first
    /// Forgets the sessions that lay in the bin for `days` (0: all), removes the files of their takes; how many.
    [[nodiscard]] virtual Result<std::int64_t> empty_bin(int days) = 0;

    /// Inserts or replaces all rows at once.
    [[nodiscard]] virtual Result<void> put_skill(std::span<const SkillRow> rows) = 0;
    [[nodiscard]] virtual Result<std::vector<SkillRow>> skill() = 0;

    /// Inserts the homework with its parts, or replaces the one of the same id.
    [[nodiscard]] virtual Result<void> put_homework(const HomeworkRecord& homework) = 0;
    [[nodiscard]] virtual Result<std::vector<HomeworkRecord>> homework() = 0; ///< newest first
    [[nodiscard]] virtual Result<void> remove_homework(const std::string& id) = 0;

    /// Small facts that belong to the log rather than to the machine, e.g. "takes_budget_bytes".
    [[nodiscard]] virtual Result<void> put_setting(const std::string& key,
                                                   const std::string& value) = 0;
    [[nodiscard]] virtual Result<std::optional<std::string>> setting(const std::string& key) = 0;

    // Figures for looking back. `days` empty: the whole log, from sums that every write keeps up to date, so that the
    // answer does not depend on the number of notes. With `days`: from the notes of these days. Without the bin.
    [[nodiscard]] virtual Result<std::vector<NoteTally>>
    note_tallies(const std::optional<Days>& days) = 0;
    /// Without `days` always cut into weeks.
    [[nodiscard]] virtual Result<std::vector<TrendTally>>
    trend_tallies(const std::optional<Days>& days, Slice slice) = 0;
    [[nodiscard]] virtual Result<std::vector<TransitionTally>>
    transition_tallies(const std::optional<Days>& days) = 0;
    /// Days with practice, rising.
    [[nodiscard]] virtual Result<std::vector<DaySums>>
    day_sums(const std::optional<Days>& days) = 0;
    [[nodiscard]] virtual Result<std::vector<StepTally>>
    step_tallies(const std::optional<Days>& days) = 0;
};

} // namespace bellhand::logbook
