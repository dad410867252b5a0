#include "desk/pages/compose_page.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

namespace {

bool nothing_written(const homework::Homework& homework) {
    return homework.title.empty() && homework.words.empty() && homework.tasks.empty();
}

} // namespace

void ComposePage::begin(const homework::Homework& draft,
                        const std::optional<homework::Homework>& before,
                        std::vector<drill::Exercise> exercises,
                        std::string today) {
    focus_ = Focus::list;
    row_ = 0;
    task_row_ = 0;
    entry_.reset();
    stepped_.reset();
    left_ = false;
    saved_.reset();
    problem_.clear();
    said_.clear();
    today_ = std::move(today);
    picker_ = ExercisePicker(std::move(exercises));
    draft_ = homework::Draft(before.value_or(draft));
    if (before) {
        draft_.change(draft);
        said_ = "This draft replaces the one that was waiting; U brings that back.";
    }
    look();
}

std::optional<std::size_t> ComposePage::task() const noexcept {
    return row_ >= kHeadRows && row_ < rows()
               ? std::optional(static_cast<std::size_t>(row_ - kHeadRows))
               : std::nullopt;
}

const char* ComposePage::name_of_entry() const noexcept {
    return focus_ == Focus::task ? name_of(static_cast<TaskField>(task_row_))
                                 : name_of(static_cast<HeadField>(row_));
}

std::optional<horn::Crook> ComposePage::usual_crook() const {
    return now().tasks.empty() ? std::nullopt : now().tasks.back().crook;
}

void ComposePage::choose(int row) noexcept {
    focus_ = Focus::list;
    row_ = std::clamp(row, 0, rows() - 1);
    stepped_.reset();
}

void ComposePage::choose_task_field(int row) noexcept {
    if (task()) {
        focus_ = Focus::task;
        task_row_ = std::clamp(row, 0, kTaskRows - 1);
        stepped_.reset();
    }
}

void ComposePage::look() noexcept {
    row_ = std::clamp(row_, 0, rows() - 1);
    if (focus_ == Focus::task && !task()) {
        focus_ = Focus::list;
    }
    const auto missing = homework::problems(now());
    missing_ = missing.empty() ? std::string() : missing.front();
}

/// After a change, or an attempt: what is there now is the draft.
void ComposePage::changed(const Result<void>& done) {
    said_.clear();
    problem_ = done ? std::string() : done.error().message;
    look();
    if (done) {
        const auto kept =
            shelf_.keep_draft(nothing_written(now()) ? std::nullopt : std::optional(now()));
        if (!kept) {
            problem_ = kept.error().message;
        }
    }
}

void ComposePage::begin_entry() {
    problem_.clear();
    if (focus_ == Focus::task) {
        const auto field = static_cast<TaskField>(task_row_);
        if (is_written(field)) {
            entry_.emplace(text_of(now().tasks[*task()], field));
        }
    } else if (row_ < kHeadRows && is_written(static_cast<HeadField>(row_))) {
        entry_.emplace(text_of(now(), static_cast<HeadField>(row_)));
    }
}

bool ComposePage::put_entry() {
    homework::Homework next = now();
    const auto put =
        focus_ == Focus::task
            ? put_text(next.tasks[*task()], static_cast<TaskField>(task_row_), entry_->text())
            : put_text(next, static_cast<HeadField>(row_), entry_->text());
    if (!put) {
        problem_ = put.error().message; // what was written stays
        return false;
    }
    entry_.reset();
    stepped_.reset();
    draft_.change(std::move(next));
    changed(put);
    return true;
}

/// On to the next field, as in a form.
void ComposePage::put_entry_and_next() {
    if (!put_entry()) {
        return;
    }
    if (focus_ == Focus::task) {
        task_row_ = std::min(task_row_ + 1, kTaskRows - 1);
    } else {
        row_ = std::min(row_ + 1, rows() - 1);
    }
    begin_entry();
}

void ComposePage::leave_entry() {
    entry_.reset();
    problem_.clear();
}

void ComposePage::write(const Press& press) {
    if (entry_) {
        (void)entry_->press(press);
    } else {
        (void)picker_.press(press);
    }
}

void ComposePage::add(const drill::Exercise& exercise) {
    homework::Task task;
    task.exercise = exercise;
    task.crook = usual_crook();
    focus_ = Focus::list;
    stepped_.reset();
    const auto added = draft_.add_task(std::move(task));
    if (added) {
        row_ = rows() - 1;
    }
    changed(added);
}

void ComposePage::step(int step) {
    const bool in_task = focus_ == Focus::task;
    const std::pair<int, int> field{row_, in_task ? task_row_ : -1};
    homework::Homework next = now();
    if (in_task) {
        step_field(next.tasks[*task()], static_cast<TaskField>(task_row_), step);
    } else {
        step_field(next, static_cast<HeadField>(row_), step, today_);
    }
    if (stepped_ == field) {
        (void)draft_.undo();
    }
    stepped_ = field;
    draft_.change(std::move(next));
    changed({});
}

void ComposePage::move_task(int step) {
    const int from = row_ - kHeadRows;
    const int to = from + step;
    if (to < 0 || to >= static_cast<int>(now().tasks.size())) {
        return;
    }
    stepped_.reset();
    const auto moved =
        draft_.move_task(static_cast<std::size_t>(from), static_cast<std::size_t>(to));
    row_ += moved ? step : 0;
    changed(moved);
}

void ComposePage::save() {
    auto saved = shelf_.set(now());
    if (!saved) {
        problem_ = saved.error().message;
        return;
    }
    saved_ = std::move(*saved);
    if (const auto done = shelf_.keep_draft(std::nullopt); !done) {
        problem_ = done.error().message;
    }
}

void ComposePage::remove_task() {
    stepped_.reset();
    changed(draft_.remove_task(*task()));
}

void ComposePage::add_again() {
    stepped_.reset();
    const auto added = draft_.add_task(now().tasks[*task()]);
    row_ = added ? rows() - 1 : row_;
    changed(added);
}

void ComposePage::undo() {
    stepped_.reset();
    if (draft_.undo()) {
        changed({});
    }
}

void ComposePage::redo() {
    stepped_.reset();
    if (draft_.redo()) {
        changed({});
    }
}

bool ComposePage::take_left() noexcept {
    return std::exchange(left_, false);
}

std::optional<std::filesystem::path> ComposePage::take_saved() {
    return std::exchange(saved_, std::nullopt);
}

void ComposePage::add_task_lines(KeyTable& table) {
    if (now().tasks.size() > 1) {
        KeyLine move =
            on_steps(Key::up, Key::down, "move it", [this](int step) { move_task(step); });
        for (Press& key : move.keys) {
            key.shift = true;
        }
        move.cap = "Shift Up Down";
        table.push_back(move);
    }
    table.push_back(on('x', "delete", [this] { remove_task(); }).or_key(Key::del));
    table.push_back(on('r', "once more", [this] { add_again(); }));
}

void ComposePage::add_field_lines(KeyTable& table) {
    const bool in_task = focus_ == Focus::task;
    const bool written = in_task ? is_written(static_cast<TaskField>(task_row_))
                                 : is_written(static_cast<HeadField>(row_));
    if (written) {
        table.push_back(on(Key::enter, "write", [this] { begin_entry(); }));
    }
    const bool stepped = in_task ? is_stepped(static_cast<TaskField>(task_row_))
                                 : is_stepped(static_cast<HeadField>(row_));
    if (stepped) {
        table.push_back(on_steps(Key::left, Key::right, "change", [this](int by) { step(by); }));
    }
}

KeyTable ComposePage::keys() {
    if (entry_) {
        return {on(Key::enter, "keep", [this] { (void)put_entry(); }).at(Foot::always),
                on(Key::tab, "and the next", [this] { put_entry_and_next(); }),
                on(Key::escape, "leave it", [this] { leave_entry(); }).at(Foot::always)};
    }
    if (focus_ == Focus::exercises) {
        return {on(Key::enter,
                   "add it",
                   [this] {
                       if (const drill::Exercise* exercise = picker_.exercise()) {
                           add(*exercise);
                       }
                   }),
                on_steps(Key::up,
                         Key::down,
                         "another",
                         [this](int step) { picker_.choose(picker_.chosen() + step); }),
                on(Key::escape, "back", [this] { focus_ = Focus::list; }).at(Foot::always)};
    }
    const bool in_task = focus_ == Focus::task;
    KeyTable table;
    if (!in_task && task()) {
        table.push_back(on(Key::enter, "how it is played", [this] {
                            choose_task_field(task_row_);
                        }).or_key(Key::right));
    } else {
        add_field_lines(table);
    }
    table.push_back(on('e', "add an exercise", [this] {
        focus_ = Focus::exercises;
        picker_.clear();
    }));
    if (task()) {
        add_task_lines(table);
    }
    table.push_back(on('s', "save the file", [this] { save(); }).at(Foot::always));
    if (draft_.can_redo()) {
        table.push_back(on_shift('u', "do it again", [this] { redo(); }).at(Foot::never));
    }
    if (draft_.can_undo()) {
        table.push_back(on('u', "undo", [this] { undo(); }));
    }
    table.push_back(on_rows(in_task ? kTaskRows : rows(),
                            in_task ? task_row_ : row_,
                            "another line",
                            [this, in_task](int row) {
                                (in_task ? task_row_ : row_) = row;
                                stepped_.reset();
                            }));
    table.push_back(on(Key::escape, in_task ? "back" : "leave; the draft stays", [this] {
                        left_ = focus_ == Focus::list;
                        focus_ = Focus::list;
                    }).at(Foot::always));
    return table;
}

} // namespace bellhand::desk
