#pragma once

#include "core/result.h"
#include "desk/listening_status.h"
#include "homework/filing.h"
#include "homework/student.h"
#include "skill/plan.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// What a homework file that was opened turned out to be.
struct OpenedHomework {
    enum class As {
        given,    ///< to be done here
        answered, ///< this player's own, back from the teacher with comments
        returned, ///< a student's, to be looked at
    };
    As as = As::given;
    std::string id;
    std::filesystem::path file; ///< the teacher's copy, when it was returned
    bool known = false;         ///< it was here before
    std::size_t comments = 0;   ///< new ones, when it was answered
};

/// The window's way to homework; tests put their own here. Calls may take a fraction of a second and are made when a page
/// is opened or a key asks for it, never for each frame (but for `listening`).
class HomeworkShelf {
public:
    virtual ~HomeworkShelf() = default;

    /// A file from somebody else. Errors: it is no homework, damaged, or cannot be kept.
    [[nodiscard]] virtual Result<OpenedHomework> take_file(const std::filesystem::path& file) = 0;

    /// ISO date.
    [[nodiscard]] virtual std::string today() const = 0;
    /// UTC, ISO 8601.
    [[nodiscard]] virtual std::string now() const = 0;

    // The student's side: homework in the log.

    /// Newest first.
    [[nodiscard]] virtual Result<std::vector<homework::Given>> given() = 0;
    /// The takes in the log that show it, oldest first.
    [[nodiscard]] virtual Result<std::vector<homework::WorkTake>> takes(const std::string& id) = 0;
    /// What is still to be done of it, as blocks of a run.
    [[nodiscard]] virtual std::vector<skill::PlannedBlock> work(const homework::Given& given,
                                                                const horn::Crook& usual) = 0;
    /// The words that are to go back with it, kept until they do; empty: none.
    [[nodiscard]] virtual Result<std::string> words(const std::string& id) = 0;
    [[nodiscard]] virtual Result<void> keep_words(const std::string& id,
                                                  const std::string& words) = 0;
    /// Writes the file that goes back, with these takes of the log (ids); its path. Errors: nothing was played yet.
    [[nodiscard]] virtual Result<std::filesystem::path>
    give_back(const std::string& id,
              const std::string& words,
              const std::vector<std::int64_t>& takes) = 0;
    /// Takes it out of the log; what was played stays. What it gives brings it back.
    [[nodiscard]] virtual Result<logbook::HomeworkRecord> remove_given(const std::string& id) = 0;
    [[nodiscard]] virtual Result<void> restore_given(const logbook::HomeworkRecord& record) = 0;
    /// The horn that results speak of: its profile goes back with them. Empty: none of the player's own.
    virtual void use_profile(std::optional<std::filesystem::path> profile) = 0;

    // The teacher's side: files beside the log.

    [[nodiscard]] virtual std::vector<homework::Filed> filed() = 0;
    /// Writes a homework that was composed; its path. Errors: it cannot be given.
    [[nodiscard]] virtual Result<std::filesystem::path> set(const homework::Homework& homework) = 0;
    /// What is being composed, kept at every change; empty: nothing. Errors: it is damaged; then it is put aside, and there
    /// is none the next time.
    [[nodiscard]] virtual Result<std::optional<homework::Homework>> draft() = 0;
    [[nodiscard]] virtual Result<void>
    keep_draft(const std::optional<homework::Homework>& draft) = 0;
    /// Replaces all that was said in the file.
    [[nodiscard]] virtual Result<void>
    put_comments(const std::filesystem::path& file,
                 const std::vector<homework::Comment>& comments) = 0;
    /// Puts the file aside; `restore_file` brings it back.
    [[nodiscard]] virtual Result<void> remove_file(const std::filesystem::path& file) = 0;
    [[nodiscard]] virtual Result<void> restore_file(const std::filesystem::path& file) = 0;

    /// A copy of the file in the folder of documents, to be seen and sent; its path. Without such a folder the file itself.
    [[nodiscard]] virtual Result<std::filesystem::path>
    hand_out(const std::filesystem::path& file) = 0;

    /// Plays a take of the file (from 0) from there on. Errors: no output, damaged.
    [[nodiscard]] virtual Result<void>
    listen(const std::filesystem::path& file, std::size_t take, double from_s, double speed) = 0;
    virtual void stop_listening() = 0;
    [[nodiscard]] virtual ListeningStatus listening() = 0;
};

/// Homework in the log at this path and in folders beside it (empty: nothing can be kept).
[[nodiscard]] std::unique_ptr<HomeworkShelf>
real_homework_shelf(const std::optional<std::filesystem::path>& log_path,
                    const std::filesystem::path& documents = {});

} // namespace bellhand::desk
