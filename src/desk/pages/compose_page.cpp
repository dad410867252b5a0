#include "desk/pages/compose_page.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

namespace {

bool nothing_written(const homework::Homework& homework) {
    return homework.title.empty() && homework.words.empty() && homework.parts.empty();
}

} // namespace

void ComposePage::begin(const homework::Homework& draft,
                        const std::optional<homework::Homework>& before,
                        std::vector<drill::Exercise> exercises,
                        std::string today) {
    *this = ComposePage();
    today_ = std::move(today);
    picker_ = ExercisePicker(std::move(exercises));
    draft_ = homework::Draft(before.value_or(draft));
    if (before) {
        draft_.change(draft);
        said_ = "The draft that waited gave way to this one; U brings it back.";
    }
    look();
}

std::optional<std::size_t> ComposePage::part() const noexcept {
    return row_ >= kHeadRows && row_ < rows()
               ? std::optional(static_cast<std::size_t>(row_ - kHeadRows))
               : std::nullopt;
}

const char* ComposePage::name_of_entry() const noexcept {
    return focus_ == Focus::part ? name_of(static_cast<PartField>(part_row_))
                                 : name_of(static_cast<HeadField>(row_));
}

std::optional<horn::Crook> ComposePage::usual_crook() const {
    return now().parts.empty() ? std::nullopt : now().parts.back().crook;
}

void ComposePage::choose(int row) noexcept {
    focus_ = Focus::list;
    row_ = std::clamp(row, 0, rows() - 1);
    stepped_.reset();
}

void ComposePage::choose_part_field(int row) noexcept {
    if (part()) {
        focus_ = Focus::part;
        part_row_ = std::clamp(row, 0, kPartRows - 1);
        stepped_.reset();
    }
}

void ComposePage::look() noexcept {
    row_ = std::clamp(row_, 0, rows() - 1);
    if (focus_ == Focus::part && !part()) {
        focus_ = Focus::list;
    }
    const auto missing = homework::problems(now());
    missing_ = missing.empty() ? std::string() : missing.front();
}

/// After a change, or an attempt: what is there now is the draft.
void ComposePage::changed(const Result<void>& done, HomeworkShelf& shelf) {
    said_.clear();
    problem_ = done ? std::string() : done.error().message;
    look();
    if (done) {
        const auto kept =
            shelf.keep_draft(nothing_written(now()) ? std::nullopt : std::optional(now()));
        if (!kept) {
            problem_ = kept.error().message;
        }
    }
}

void ComposePage::begin_entry() {
    problem_.clear();
    if (focus_ == Focus::part) {
        const auto field = static_cast<PartField>(part_row_);
        if (is_written(field)) {
            entry_.emplace(text_of(now().parts[*part()], field));
        }
    } else if (row_ < kHeadRows && is_written(static_cast<HeadField>(row_))) {
        entry_.emplace(text_of(now(), static_cast<HeadField>(row_)));
    }
}

void ComposePage::press_on_entry(const Press& press, HomeworkShelf& shelf) {
    if (press.key == Key::escape) {
        entry_.reset();
        problem_.clear();
        return;
    }
    if (press.key != Key::enter && press.key != Key::tab) {
        (void)entry_->press(press);
        return;
    }
    homework::Homework next = now();
    const auto put =
        focus_ == Focus::part
            ? put_text(next.parts[*part()], static_cast<PartField>(part_row_), entry_->text())
            : put_text(next, static_cast<HeadField>(row_), entry_->text());
    if (!put) {
        problem_ = put.error().message; // what was written stays
        return;
    }
    entry_.reset();
    stepped_.reset();
    draft_.change(std::move(next));
    changed(put, shelf);
    if (press.key == Key::tab) { // on to the next field, as in a form
        if (focus_ == Focus::part) {
            part_row_ = std::min(part_row_ + 1, kPartRows - 1);
        } else {
            row_ = std::min(row_ + 1, rows() - 1);
        }
        begin_entry();
    }
}

void ComposePage::press_on_exercises(const Press& press, HomeworkShelf& shelf) {
    if (press.key == Key::escape) {
        focus_ = Focus::list;
    } else if (press.key == Key::enter) {
        if (const drill::Exercise* exercise = picker_.exercise()) {
            add(*exercise, shelf);
        }
    } else {
        (void)picker_.press(press);
    }
}

void ComposePage::add(const drill::Exercise& exercise, HomeworkShelf& shelf) {
    homework::Part part;
    part.exercise = exercise;
    part.crook = usual_crook();
    focus_ = Focus::list;
    stepped_.reset();
    const auto added = draft_.add_part(std::move(part));
    if (added) {
        row_ = rows() - 1;
    }
    changed(added, shelf);
}

void ComposePage::step(int step, HomeworkShelf& shelf) {
    const bool in_part = focus_ == Focus::part;
    const std::pair<int, int> field{row_, in_part ? part_row_ : -1};
    homework::Homework next = now();
    if (in_part) {
        step_field(next.parts[*part()], static_cast<PartField>(part_row_), step);
    } else {
        step_field(next, static_cast<HeadField>(row_), step, today_);
    }
    if (stepped_ == field) {
        (void)draft_.undo();
    }
    stepped_ = field;
    draft_.change(std::move(next));
    changed({}, shelf);
}

void ComposePage::move_part(int step, HomeworkShelf& shelf) {
    const int from = row_ - kHeadRows;
    const int to = from + step;
    if (to < 0 || to >= static_cast<int>(now().parts.size())) {
        return;
    }
    stepped_.reset();
    const auto moved =
        draft_.move_part(static_cast<std::size_t>(from), static_cast<std::size_t>(to));
    row_ += moved ? step : 0;
    changed(moved, shelf);
}

void ComposePage::save(HomeworkShelf& shelf) {
    auto saved = shelf.set(now());
    if (!saved) {
        problem_ = saved.error().message;
        return;
    }
    saved_ = std::move(*saved);
    if (const auto done = shelf.keep_draft(std::nullopt); !done) {
        problem_ = done.error().message;
    }
}

bool ComposePage::press_on_parts(const Press& press, HomeworkShelf& shelf) {
    const auto index = part();
    if (!index) {
        return false;
    }
    if (press.shift && (press.key == Key::up || press.key == Key::down)) {
        move_part(press.key == Key::up ? -1 : 1, shelf);
    } else if (is_letter(press, 'x') || press.key == Key::del) {
        stepped_.reset();
        changed(draft_.remove_part(*index), shelf);
    } else if (is_letter(press, 'c')) {
        stepped_.reset();
        const auto added = draft_.add_part(now().parts[*index]);
        row_ = added ? rows() - 1 : row_;
        changed(added, shelf);
    } else if (focus_ == Focus::list && (press.key == Key::enter || press.key == Key::right)) {
        focus_ = Focus::part;
    } else {
        return false;
    }
    return true;
}

bool ComposePage::press_on_fields(const Press& press, HomeworkShelf& shelf) {
    int row = focus_ == Focus::part ? part_row_ : row_;
    if (move_choice(press, focus_ == Focus::part ? kPartRows : rows(), row)) {
        (focus_ == Focus::part ? part_row_ : row_) = row;
        stepped_.reset();
        return true;
    }
    if (press.key == Key::left || press.key == Key::right) {
        step(press.key == Key::left ? -1 : 1, shelf);
    } else if (press.key == Key::enter) {
        begin_entry();
    } else {
        return false;
    }
    return true;
}

void ComposePage::press(const Press& press, HomeworkShelf& shelf) {
    if (entry_) {
        press_on_entry(press, shelf);
        return;
    }
    if (focus_ == Focus::exercises) {
        press_on_exercises(press, shelf);
        return;
    }
    if (press_on_parts(press, shelf) || press_on_fields(press, shelf)) {
        return;
    }
    if (press.key == Key::escape) {
        left_ = focus_ == Focus::list;
        focus_ = Focus::list;
    } else if (is_letter(press, 'a')) {
        focus_ = Focus::exercises;
        picker_.clear();
    } else if (is_letter(press, 's')) {
        save(shelf);
    } else if (is_letter(press, 'u')) {
        stepped_.reset();
        if (press.character == U'U' ? draft_.redo() : draft_.undo()) {
            changed({}, shelf);
        }
    }
}

bool ComposePage::take_left() noexcept {
    return std::exchange(left_, false);
}

std::optional<std::filesystem::path> ComposePage::take_saved() {
    return std::exchange(saved_, std::nullopt);
}

std::vector<KeyHint> ComposePage::hints() const {
    if (entry_) {
        return {hint(Key::enter, "keep"),
                hint(Key::tab, "and the next"),
                hint(Key::escape, "leave it")};
    }
    if (focus_ == Focus::exercises) {
        return {hint(Key::enter, "add it"), hint(Key::down, "another"), hint(Key::escape, "back")};
    }
    std::vector<KeyHint> hints;
    const bool on_part = focus_ == Focus::list && part().has_value();
    if (on_part) {
        hints.push_back(hint(Key::enter, "how it is played"));
    } else {
        const bool written = focus_ == Focus::part ? is_written(static_cast<PartField>(part_row_))
                                                   : is_written(static_cast<HeadField>(row_));
        if (written) {
            hints.push_back(hint(Key::enter, "write"));
        }
        hints.push_back(hint(Key::right, "change"));
    }
    hints.push_back(hint('a', "add an exercise"));
    if (part()) {
        hints.push_back(hint('x', "remove"));
        hints.push_back(hint('c', "once more"));
        if (now().parts.size() > 1) {
            KeyHint move = hint(Key::up, "move");
            move.key = "Shift Up";
            move.press.shift = true;
            hints.push_back(move);
        }
    }
    hints.push_back(hint('s', "save the file"));
    hints.push_back(hint('u', "undo"));
    hints.push_back(hint(Key::escape, focus_ == Focus::part ? "back" : "leave; the draft stays"));
    return hints;
}

} // namespace bellhand::desk
