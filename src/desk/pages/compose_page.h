#pragma once

#include "desk/model/exercise_picker.h"
#include "desk/model/homework_fields.h"
#include "desk/pages/key_hint.h"
#include "desk/store/homework_shelf.h"
#include "homework/teacher.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// A homework being composed. Every change is kept as the draft, can be undone and done again.
class ComposePage {
public:
    /// Rows of the list: the fields of the homework and its parts; then the fields of one part; then the exercises.
    enum class Focus { list, part, exercises };
    static constexpr int kHeadRows = static_cast<int>(HeadField::count);
    static constexpr int kPartRows = static_cast<int>(PartField::count);

    /// `exercises`: those to choose from. `before`: a draft that waited and gives way; undo leads back to it. `today`: ISO
    /// date.
    void begin(const homework::Homework& draft,
               const std::optional<homework::Homework>& before,
               std::vector<drill::Exercise> exercises,
               std::string today);
    /// Takes every key while it is open.
    void press(const Press& press, HomeworkShelf& shelf);

    // What the pointer does, too.
    void choose(int row) noexcept;
    void choose_part_field(int row) noexcept;
    void choose_exercise(int row) noexcept { picker_.choose(row); }

    [[nodiscard]] const homework::Homework& now() const noexcept { return draft_.now(); }
    [[nodiscard]] Focus focus() const noexcept { return focus_; }
    /// Of the list: the fields first, then the parts.
    [[nodiscard]] int row() const noexcept { return row_; }
    [[nodiscard]] int rows() const noexcept {
        return kHeadRows + static_cast<int>(now().parts.size());
    }
    /// The part that the row stands on, or empty.
    [[nodiscard]] std::optional<std::size_t> part() const noexcept;
    [[nodiscard]] int part_row() const noexcept { return part_row_; }
    [[nodiscard]] const ExercisePicker& picker() const noexcept { return picker_; }
    /// The crook that a part which is added begins with: that of the part before it.
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
    [[nodiscard]] std::vector<KeyHint> hints() const;
    /// Text is being written: every key belongs to it.
    [[nodiscard]] bool writing() const noexcept {
        return entry_.has_value() || focus_ == Focus::exercises;
    }

private:
    void press_on_entry(const Press& press, HomeworkShelf& shelf);
    void press_on_exercises(const Press& press, HomeworkShelf& shelf);
    bool press_on_parts(const Press& press, HomeworkShelf& shelf);
    bool press_on_fields(const Press& press, HomeworkShelf& shelf);
    void begin_entry();
    void step(int step, HomeworkShelf& shelf);
    void add(const drill::Exercise& exercise, HomeworkShelf& shelf);
    void move_part(int step, HomeworkShelf& shelf);
    void save(HomeworkShelf& shelf);
    void changed(const Result<void>& done, HomeworkShelf& shelf);
    void look() noexcept;

    homework::Draft draft_;
    std::string today_;
    ExercisePicker picker_;
    Focus focus_ = Focus::list;
    int row_ = 0;
    int part_row_ = 0;
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
