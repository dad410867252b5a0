#pragma once

#include "homework/homework.h"

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace bellhand::homework {

/// Steps of bars `first` to `last` (from 1, both included) of an exercise. Errors (usage): it has no such bars, or no
/// bars at all (notes without a length).
[[nodiscard]] Result<std::pair<std::uint32_t, std::uint32_t>>
steps_of_bars(const drill::Exercise& exercise, int first, int last);

/// How many bars an exercise has; empty: notes without a length.
[[nodiscard]] std::optional<int> bars_in(const drill::Exercise& exercise);

/// The other way round: the bars that the stretch of a task fills. Empty: it has none, begins or ends inside a bar, or the
/// task is the whole exercise.
[[nodiscard]] std::optional<std::pair<int, int>> bars_of(const Task& task);

/// An id for a new homework from its title, date and contents: the same draft gives the same one.
[[nodiscard]] std::string make_id(const Homework& homework);

/// How one attempt went.
struct AttemptFigures {
    std::size_t steps = 0; ///< judged
    std::size_t good = 0;  ///< of them as asked
    std::optional<double>
        median_off_cents; ///< distance from the target; of the notes played whose pitch is known
};
[[nodiscard]] AttemptFigures figures_of(const Attempt& attempt);

/// Played as asked.
[[nodiscard]] bool is_good(const StepResult& step) noexcept;
/// A room did not let it be heard apart from the note before: neither good nor wrong.
[[nodiscard]] bool is_undecided(const StepResult& step) noexcept;

/// Where a step can be heard.
struct InTake {
    std::size_t take = 0; ///< number in the file, from 0
    double at_s = 0.0;
};
/// Empty: it was not played, or no take holds it.
[[nodiscard]] std::optional<InTake>
heard_in(const Return& back, std::size_t attempt, const StepResult& step);

/// One thing that went wrong, and where to listen to it.
struct Wrong {
    std::size_t task = 0;
    std::size_t attempt = 0;
    StepResult step;
    std::optional<std::size_t> take; ///< that holds it
    double in_take_s = 0.0;
};

/// Everything that went wrong in what was returned, in order of playing.
[[nodiscard]] std::vector<Wrong> what_went_wrong(const Homework& homework);

/// Adds a comment. Errors (usage): no words, no such take or task, a place beyond the end of the take.
[[nodiscard]] Result<void> add_comment(Homework& homework, Comment comment);

/// A homework that follows: the tasks in which more than a tenth of the steps went wrong in the newest attempt, or that
/// were not played; all of them when there is no such task.
[[nodiscard]] Homework next_after(const Homework& homework);

/// A homework being written, with its history: every change can be undone and done again.
class Draft {
public:
    explicit Draft(Homework homework = {}) { states_.push_back(std::move(homework)); }
    [[nodiscard]] const Homework& now() const noexcept { return states_[at_]; }

    /// Replaces the whole; what was undone before can no longer be done again.
    void change(Homework homework);
    /// Errors (usage): no such task, or no room for one more.
    [[nodiscard]] Result<void> add_task(Task task);
    [[nodiscard]] Result<void> remove_task(std::size_t index);
    [[nodiscard]] Result<void> move_task(std::size_t from, std::size_t to);
    [[nodiscard]] bool can_undo() const noexcept { return at_ > 0; }
    [[nodiscard]] bool can_redo() const noexcept { return at_ + 1 < states_.size(); }
    /// False when there is nothing to undo, or to do again.
    bool undo() noexcept;
    bool redo() noexcept;

private:
    [[nodiscard]] Result<void> check(std::size_t index) const;
    std::vector<Homework> states_;
    std::size_t at_ = 0;
};

} // namespace bellhand::homework
