#pragma once

#include "logbook/balances.h"
#include "logbook/logbook.h"
#include "logbook/sqlite.h"

#include <utility>

namespace bellhand::logbook {

/// The log's questions and answers in SQL, by subject: sessions.cpp, blocks.cpp, crook_changes.cpp, balances.cpp, takes.cpp, bin.cpp, keepsakes.cpp, counting.cpp
/// (sums kept by every write), tallies.cpp (sums read).
class SqliteLogbook final : public Logbook {
public:
    SqliteLogbook(Database database, std::filesystem::path path)
        : database_(std::move(database)), path_(std::move(path)) {}

    Result<void> together(const std::function<Result<void>()>& work) override;

    Result<std::int64_t> begin_session(const SessionRecord& session) override;
    Result<void> put_note(std::int64_t session,
                          const horn::Tuning& tuning,
                          const trainer::PlayedNote& note) override;
    Result<void> end_session(std::int64_t session, double duration_s) override;
    Result<std::vector<SessionRecord>> sessions() override;
    Result<std::vector<NoteRecord>> notes(std::int64_t session) override;

    Result<void> put_block(std::int64_t session, const BlockRecord& block) override;
    Result<void>
    put_step(std::int64_t session, std::uint32_t block, const JudgedStep& step) override;
    Result<std::vector<BlockRecord>> blocks(std::int64_t session) override;
    Result<std::vector<JudgedStep>> steps(std::int64_t session) override;

    Result<void> put_crook_change(std::int64_t session, const CrookChangeRecord& change) override;
    Result<void> remove_crook_change(std::int64_t session, std::uint32_t number) override;
    Result<std::vector<CrookChangeRecord>> crook_changes(std::int64_t session) override;
    Result<std::vector<CrookChangeRecord>>
    all_crook_changes(const std::optional<Days>& days) override;
    /// Behind the functions of balances.h.
    Result<void> put_balance(std::int64_t session, const BalanceRecord& balance);
    Result<std::vector<BalanceRecord>> balances();

    Result<std::int64_t> put_take(const TakeRecord& take) override;
    Result<std::vector<TakeRecord>> takes(std::int64_t session) override;
    Result<std::vector<TakeRecord>> all_takes() override;
    Result<std::int64_t> takes_bytes() override;
    Result<void> remove_take(std::int64_t take) override;
    Result<std::int64_t> add_comment(const CommentRecord& comment) override;
    Result<std::vector<CommentRecord>> comments(std::int64_t session) override;
    Result<void> remove_comment(std::int64_t comment) override;

    Result<void> delete_session(std::int64_t session) override;
    Result<void> restore_session(std::int64_t session) override;
    Result<std::vector<SessionRecord>> bin() override;
    Result<std::int64_t> empty_bin(int days) override;

    Result<void> put_skill(std::span<const SkillRow> rows) override;
    Result<std::vector<SkillRow>> skill() override;
    Result<void> put_homework(const HomeworkRecord& homework) override;
    Result<std::vector<HomeworkRecord>> homework() override;
    Result<void> remove_homework(const std::string& id) override;
    Result<void> put_setting(const std::string& key, const std::string& value) override;
    Result<std::optional<std::string>> setting(const std::string& key) override;

    Result<std::vector<NoteTally>> note_tallies(const std::optional<Days>& days) override;
    Result<std::vector<TrendTally>> trend_tallies(const std::optional<Days>& days,
                                                  Slice slice) override;
    Result<std::vector<TransitionTally>>
    transition_tallies(const std::optional<Days>& days) override;
    Result<std::vector<DaySums>> day_sums(const std::optional<Days>& days) override;
    Result<std::vector<StepTally>> step_tallies(const std::optional<Days>& days) override;

private:
    Result<void>
    write_note(std::int64_t session, const horn::Tuning& tuning, const trainer::PlayedNote& note);
    Result<void> write_block(std::int64_t session, const BlockRecord& block);
    Result<void> write_step(std::int64_t block, const JudgedStep& step);
    Result<std::vector<SessionRecord>> session_list(const char* where_and_order);
    Result<std::vector<TakeRecord>> take_list(Statement& rows);
    Result<std::vector<CrookChangeRecord>> crook_change_list(Statement& rows);
    /// Errors (usage): not in the log, or in the bin.
    Result<void> check_session(std::int64_t session);
    Result<void> remove_files();
    /// Numbers within a session or block, both ends included.
    struct Numbers {
        std::int64_t first = 0;
        std::int64_t last = kLastNumber;
    };
    static constexpr std::int64_t kLastNumber = 0x7fffffff;
    /// Adds (`sign` 1) or takes away (-1) notes of a session to or from the sums of the whole log; a session in the bin
    /// counts nothing.
    Result<void> count_notes(std::int64_t session, Numbers notes, int sign);
    /// The same for the session's own sums.
    Result<void> count_time(std::int64_t session, Numbers notes, int sign);
    /// The same for judged steps.
    Result<void> count_steps(std::int64_t session, Numbers blocks, Numbers steps, int sign);

    /// Runs a statement that gives no rows.
    Result<void> finish(Statement& statement);
    /// Calls `each` for every row.
    template <typename Each>
    Result<void> for_rows(Statement& rows, const Each& each) {
        int code = rows.step();
        for (; code == kRow; code = rows.step()) {
            each(rows);
        }
        if (code != kDone) {
            return tl::unexpected<Error>(database_.explain(code));
        }
        return {};
    }

    static constexpr int kRow = 100;  // SQLITE_ROW
    static constexpr int kDone = 101; // SQLITE_DONE

    Database database_;
    std::filesystem::path path_;
};

[[nodiscard]] horn::Hand hand_from(std::string_view id) noexcept;

} // namespace bellhand::logbook
