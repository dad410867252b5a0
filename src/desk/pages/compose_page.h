#pragma once

#include "desk/model/exercise_picker.h"
#include "desk/model/homework_fields.h"
#include "desk/page.h"
#include "desk/store/homework_shelf.h"
#include "homework/teacher.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// A homework being composed. Every change is kept as the draft, can be undone and done again.
class ComposePage : public Page {
public:
    /// Rows of the list: the fields of the homework and its tasks; then the fields of one task; then the exercises.
    enum class Focus { list, task, exercises };
    static constexpr int kHeadRows = static_cast<int>(HeadField::count);
    static constexpr int kTaskRows = static_cast<int>(TaskField::count);

    explicit ComposePage(HomeworkShelf& shelf) : shelf_(shelf) {}

    /// `exercises`: those to choose from. `before`: a draft that waited and gives way; undo leads back to it. `today`: ISO
    /// date.
    void begin(const homework::Homework& draft,
               const std::optional<homework::Homework>& before,
               std::vector<drill::Exercise> exercises,
               std::string today);
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool alone() const override { return true; }
    [[nodiscard]] bool writing() const override {
        return entry_.has_value() || focus_ == Focus::exercises;
    }
    void write(const Press& press) override;

    // What the pointer does, too.
    void choose(int row) noexcept;
    void choose_task_field(int row) noexcept;
    void choose_exercise(int row) noexcept { picker_.choose(row); }

    [[nodiscard]] const homework::Homework& now() const noexcept { return draft_.now(); }
    [[nodiscard]] Focus focus() const noexcept { return focus_; }
    /// Of the list: the fields first, then the tasks.
    [[nodiscard]] int row() const noexcept { return row_; }
    [[nodiscard]] int rows() const noexcept {
        return kHeadRows + static_cast<int>(now().tasks.size());
    }
    /// The task that the row stands on, or empty.
    [[nodiscard]] std::optional<std::size_t> task() const noexcept;
    [[nodiscard]] int task_row() const noexcept { return task_row_; }
    [[nodiscard]] const ExercisePicker& picker() const noexcept { return picker_; }
    /// The crook that a task which is added begins with: that of the task before it.
    [[nodiscard]] std::optional<horn::Crook> usual_crook() const;
    /// A field that is being written.
    [[nodiscard]] const std::optional<TextEntry>& entry() const noexcept { return entry_; }
    [[nodiscard]] const char* name_of_entry() const noexcept;
    /// What is still missing, a sentence; empty: it can be given.
    [[nodiscard]] const std::string& missing() const noexcept { return missing_; }

    /// The teacher left it, told once; the draft stays.
    [[nodiscard]] bool take_left() noexcept;
    /// It was saved as a file, told once.
    [[nodiscard]] std::optional<std::filesystem::path> take_saved();
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] const std::string& said() const noexcept { return said_; }

private:
    void begin_entry();
    /// True when what was written was taken.
    bool put_entry();
    void put_entry_and_next();
    void leave_entry();
    void step(int step);
    void add(const drill::Exercise& exercise);
    void add_again();
    void remove_task();
    void move_task(int step);
    void undo();
    void redo();
    void save();
    void changed(const Result<void>& done);
    void look() noexcept;
    void add_field_lines(KeyTable& table);
    void add_task_lines(KeyTable& table);

    HomeworkShelf& shelf_;
    homework::Draft draft_;
    std::string today_;
    ExercisePicker picker_;
    Focus focus_ = Focus::list;
    int row_ = 0;
    int task_row_ = 0;
    std::optional<TextEntry> entry_;
    std::optional<std::pair<int, int>>
        stepped_; ///< field that the last change stepped: one undo takes all steps back
    bool left_ = false;
    std::optional<std::filesystem::path> saved_;
    std::string missing_;
    std::string problem_;
    std::string said_;
};

} // namespace bellhand::desk
