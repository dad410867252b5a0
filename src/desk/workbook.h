#pragma once

#include "desk/model/run_view.h"
#include "desk/pages/homework_page.h"
#include "desk/pages/log_page.h"
#include "desk/pages/progress_page.h"
#include "desk/pages/today_page.h"
#include "desk/screen.h"
#include "desk/store/shelf.h"
#include "run/run.h"

#include <memory>
#include <optional>
#include <vector>

namespace bellhand::desk {

/// An exercise in the list.
struct ExerciseRow {
    drill::Exercise exercise;
    std::string why_not; ///< one sentence when the crook cannot play it
};

/// Plan, exercises, homework, progress and log: what is shown of them and what their keys do. Draws nothing.
class Workbook {
public:
    explicit Workbook(std::shared_ptr<Shelf> shelf);

    /// The screen came to be shown: its page looks whether it is still up to date.
    void open(Screen screen, const horn::Tuning& tuning);
    /// Once a frame.
    void refresh(Screen screen);
    /// True when the key was for this screen. `wanted_screen` tells when another one is to be shown.
    bool press(Screen screen, const Press& press, const horn::Tuning& tuning);
    [[nodiscard]] std::optional<Screen> take_wanted_screen() noexcept;
    [[nodiscard]] std::vector<KeyHint> hints(Screen screen) const;
    /// Text is being written there: every key belongs to it, also one that is held down.
    [[nodiscard]] bool writing(Screen screen) const noexcept;

    /// Blocks that are to be begun as a lesson, told once; `begin` is then called with a fresh session.
    [[nodiscard]] std::optional<std::vector<skill::PlannedBlock>> take_run_wish();
    /// Errors: a block that cannot be run.
    [[nodiscard]] Result<void> begin(std::vector<skill::PlannedBlock> blocks,
                                     const run::Options& options);
    /// The lesson at work, or null.
    [[nodiscard]] run::Run* lesson() noexcept { return running_ ? &*running_ : nullptr; }
    /// The player wants to keep what was just played; told once.
    [[nodiscard]] bool take_keep_wish() noexcept;
    /// The player wants to end the lesson; told once.
    [[nodiscard]] bool take_end_wish() noexcept;
    /// The lesson was handed its last sound: nothing more is shown of it but its end.
    void end_run();

    /// The exercises to choose from, those that this crook can play first; read anew.
    void look_for_exercises(const horn::Crook& crook);
    /// Exercises from a file of the player's: they stand first in the list from now on. Errors: not such a file.
    [[nodiscard]] Result<void> take_exercises(const std::filesystem::path& file);
    [[nodiscard]] const std::vector<ExerciseRow>& exercises() const noexcept { return exercises_; }
    [[nodiscard]] const std::string& exercises_problem() const noexcept {
        return exercises_problem_;
    }
    /// Begins the exercise of that row by itself, on the crook that is put on.
    void wish_exercise(std::size_t row, const horn::Crook& crook);

    [[nodiscard]] const RunView& run() const noexcept { return run_; }
    [[nodiscard]] const TodayPage& today() const noexcept { return today_; }
    [[nodiscard]] TodayPage& today() noexcept { return today_; }
    [[nodiscard]] const ProgressPage& progress() const noexcept { return progress_; }
    [[nodiscard]] LogPage& log() noexcept { return log_; }
    [[nodiscard]] const LogPage& log() const noexcept { return log_; }
    void choose_session(int row) { log_.choose(row, *shelf_); }

    /// A homework file from somebody else; its page is shown already.
    void take_homework(const std::filesystem::path& file) { homework_.take_file(file, *shelf_); }
    /// The profile of the player's own horn goes back with homework; empty: none.
    void use_profile(std::optional<std::filesystem::path> profile) {
        shelf_->homework().use_profile(std::move(profile));
    }
    [[nodiscard]] HomeworkPage& homework() noexcept { return homework_; }
    void choose_homework(int row) { homework_.choose(row, *shelf_); }
    /// Words for the clipboard; told once.
    [[nodiscard]] std::optional<std::string> take_copy_wish();

private:
    bool press_on_run(const Press& press);

    std::shared_ptr<Shelf> shelf_;
    std::optional<Screen> wanted_screen_;
    std::optional<std::vector<skill::PlannedBlock>> run_wish_;
    std::optional<run::Run> running_;
    bool end_wish_ = false;
    bool keep_wish_ = false;
    std::size_t first_block_ = 0;                ///< of today's plan, that the lesson began with
    Screen back_to_ = Screen::today;             ///< shown when the lesson is over
    bool of_plan_ = false;                       ///< the lesson's blocks are today's plan
    std::vector<drill::Exercise> own_exercises_; ///< from files that were opened
    std::vector<ExerciseRow> exercises_;
    std::string exercises_problem_;
    RunView run_;
    TodayPage today_;
    LogPage log_;
    ProgressPage progress_;
    HomeworkPage homework_;
    Screen open_ = Screen::practice;
};

} // namespace bellhand::desk
