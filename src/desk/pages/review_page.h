#pragma once

#include "desk/page.h"
#include "desk/store/homework_shelf.h"
#include "desk/text_entry.h"
#include "homework/teacher.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// A homework that came back: how each attempt went, what went wrong where, to listen to and to comment on.
class ReviewPage : public Page {
public:
    enum class Focus { rows, steps, comments };

    /// A row of the list at the left.
    struct Row {
        enum class Kind {
            whole,   ///< the homework as such, with all comments
            attempt, ///< one time that a task was played
            take,    ///< a recording of something else
        };
        Kind kind = Kind::whole;
        std::size_t index = 0; ///< of the attempt or the take
    };

    explicit ReviewPage(HomeworkShelf& shelf) : shelf_(shelf) {}

    void open(const homework::Filed& filed);
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool alone() const override { return true; }
    [[nodiscard]] bool writing() const override { return entry_.has_value(); }
    void write(const Press& press) override { (void)entry_->press(press); }
    void refresh() override;

    // What the pointer does, too.
    void choose(int row) noexcept;
    void choose_step(int step) noexcept;
    void enter_steps() noexcept;
    void enter_comments() noexcept;
    void choose_comment(int comment) noexcept;

    [[nodiscard]] const homework::Homework& now() const noexcept { return filed_.homework; }
    [[nodiscard]] const homework::Return& back() const noexcept { return *now().returned; }
    [[nodiscard]] const std::filesystem::path& file() const noexcept { return filed_.file; }
    [[nodiscard]] Focus focus() const noexcept { return focus_; }
    [[nodiscard]] const std::vector<Row>& rows() const noexcept { return rows_; }
    [[nodiscard]] int row() const noexcept { return row_; }
    /// The chosen attempt, or null.
    [[nodiscard]] const homework::Attempt* attempt() const noexcept;
    /// Its steps in order of playing, all or only what was not as asked: indices into `attempt()->steps`.
    [[nodiscard]] const std::vector<std::size_t>& steps() const noexcept { return steps_; }
    [[nodiscard]] bool all_steps() const noexcept { return all_; }
    [[nodiscard]] int step() const noexcept { return step_; }
    /// The chosen step, or null.
    [[nodiscard]] const homework::StepResult* chosen_step() const noexcept;
    /// Where a step of the chosen attempt is heard.
    [[nodiscard]] std::optional<homework::InTake> heard_in(const homework::StepResult& step) const;
    [[nodiscard]] int comment() const noexcept { return comment_; }
    /// Comments about what is chosen: indices into `now().comments`; on the whole, all of them.
    [[nodiscard]] std::vector<std::size_t> comments_here() const;
    /// Words that are being written, and what they are about: "on C4 in take 1 at 0:12".
    [[nodiscard]] const std::optional<TextEntry>& entry() const noexcept { return entry_; }
    [[nodiscard]] std::string about_words(const homework::Comment& comment) const;
    [[nodiscard]] const homework::Comment& written() const noexcept { return written_; }
    [[nodiscard]] const ListeningStatus& listening() const noexcept { return listening_; }
    [[nodiscard]] std::optional<std::size_t> heard_take() const noexcept { return heard_take_; }

    /// The teacher left it, told once.
    [[nodiscard]] bool take_left() noexcept;
    /// The homework that follows is to be composed from this draft, told once.
    [[nodiscard]] std::optional<homework::Homework> take_next();
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] const std::string& said() const noexcept { return said_; }

private:
    void add_sound_lines(KeyTable& table);
    void add_row_lines(KeyTable& table);
    void add_comment_lines(KeyTable& table);
    void go_back();
    void show_all_or_not();
    void rewrite_comment();
    void remove_comment();
    void save_entry();
    void leave_entry();
    void play_or_stop();
    void change_speed();
    void jump(int step);
    [[nodiscard]] bool may_rewrite() const noexcept;
    void find_steps();
    /// Where listening begins for what is chosen.
    [[nodiscard]] std::optional<homework::InTake> place() const;
    void play(const homework::InTake& from);
    void begin_comment();
    /// True when the file took them.
    bool put(std::vector<homework::Comment> comments);
    void undo();

    HomeworkShelf& shelf_;

    homework::Filed filed_;
    std::vector<Row> rows_;
    int row_ = 0;
    Focus focus_ = Focus::rows;
    std::vector<std::size_t> steps_;
    int step_ = 0;
    bool all_ = false;
    int comment_ = 0;
    std::optional<TextEntry> entry_;
    homework::Comment written_;         ///< what the words are to become
    std::optional<std::size_t> edited_; ///< the comment they replace; empty: a new one
    std::vector<std::vector<homework::Comment>> before_; ///< to undo
    ListeningStatus listening_;
    std::optional<std::size_t> heard_take_;
    bool half_speed_ = false;
    bool left_ = false;
    std::optional<homework::Homework> next_;
    std::string problem_;
    std::string said_;
};

} // namespace bellhand::desk
