#include "desk/pages/review_page.h"

#include "report/text.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace bellhand::desk {

namespace {

constexpr double kBefore_s = 1.0; // heard before the place, so that the ear is there in time
constexpr double kJump_s = 2.0;
constexpr double kSamePlace_s = 0.3; // a comment and a step that are about the same

} // namespace

void ReviewPage::open(const homework::Filed& filed) {
    *this = ReviewPage();
    filed_ = filed;
    rows_ = {Row{}};
    for (std::size_t i = 0; i < back().attempts.size(); ++i) {
        rows_.push_back({Row::Kind::attempt, i});
    }
    for (std::size_t i = 0; i < back().takes.size(); ++i) {
        if (!back().takes[i].attempt) {
            rows_.push_back({Row::Kind::take, i});
        }
    }
    find_steps();
}

const homework::Attempt* ReviewPage::attempt() const noexcept {
    const Row& row = rows_[static_cast<std::size_t>(row_)];
    return row.kind == Row::Kind::attempt ? &back().attempts[row.index] : nullptr;
}

const homework::StepResult* ReviewPage::chosen_step() const noexcept {
    return focus_ == Focus::steps && !steps_.empty()
               ? &attempt()->steps[steps_[static_cast<std::size_t>(step_)]]
               : nullptr;
}

std::optional<homework::InTake> ReviewPage::heard_in(const homework::StepResult& step) const {
    return homework::heard_in(back(), rows_[static_cast<std::size_t>(row_)].index, step);
}

void ReviewPage::find_steps() {
    steps_.clear();
    if (const homework::Attempt* attempt = this->attempt()) {
        for (std::size_t i = 0; i < attempt->steps.size(); ++i) {
            if (all_ || !homework::is_good(attempt->steps[i])) {
                steps_.push_back(i);
            }
        }
    }
    choose_step(step_);
}

void ReviewPage::choose(int row) noexcept {
    const int wanted = std::clamp(row, 0, static_cast<int>(rows_.size()) - 1);
    focus_ = Focus::rows;
    if (wanted != row_) {
        row_ = wanted;
        step_ = 0;
        find_steps();
    }
}

void ReviewPage::choose_step(int step) noexcept {
    step_ = std::clamp(step, 0, std::max(0, static_cast<int>(steps_.size()) - 1));
}

void ReviewPage::choose_comment(int comment) noexcept {
    comment_ = std::clamp(comment, 0, std::max(0, static_cast<int>(now().comments.size()) - 1));
}

void ReviewPage::enter_steps() noexcept {
    focus_ = attempt() != nullptr && !steps_.empty() ? Focus::steps : focus_;
}

void ReviewPage::enter_comments() noexcept {
    focus_ = row_ == 0 && !now().comments.empty() ? Focus::comments : focus_;
}

std::vector<std::size_t> ReviewPage::comments_here() const {
    std::vector<std::size_t> here(now().comments.size());
    std::iota(here.begin(), here.end(), std::size_t{0});
    const Row& row = rows_[static_cast<std::size_t>(row_)];
    if (row.kind == Row::Kind::whole) {
        return here;
    }
    const homework::StepResult* const step = chosen_step();
    const auto place = step != nullptr ? heard_in(*step) : std::nullopt;
    std::erase_if(here, [&](std::size_t index) {
        const homework::Comment& comment = now().comments[index];
        if (row.kind == Row::Kind::take) {
            return comment.take != row.index;
        }
        if (step == nullptr) {
            const bool of_its_take =
                comment.take && back().takes[*comment.take].attempt == row.index;
            return !of_its_take && (comment.take || comment.part != attempt()->part);
        }
        return !(place && comment.take == place->take &&
                 std::abs(comment.at_s - place->at_s) < kSamePlace_s) &&
               !(!place && !comment.take && comment.part == attempt()->part && comment.note &&
                 comment.note->number == step->asked.number);
    });
    return here;
}

std::string ReviewPage::about_words(const homework::Comment& comment) const {
    std::string words = comment.who == homework::Who::student ? "the student, " : "";
    if (comment.note) {
        words += "on " + horn::display_name(*comment.note) + ", ";
    }
    if (comment.take) {
        return words + "take " + std::to_string(*comment.take + 1) + " at " +
               report::clock_text(comment.at_s);
    }
    return words + (comment.part ? "part " + std::to_string(*comment.part + 1) : "on the whole");
}

std::optional<homework::InTake> ReviewPage::place() const {
    if (focus_ == Focus::comments) {
        const homework::Comment& comment = now().comments[static_cast<std::size_t>(comment_)];
        return comment.take ? std::optional(homework::InTake{*comment.take, comment.at_s})
                            : std::nullopt;
    }
    if (const homework::StepResult* step = chosen_step()) {
        auto place = heard_in(*step);
        if (place) {
            place->at_s = std::max(0.0, place->at_s - kBefore_s);
        }
        return place;
    }
    const Row& row = rows_[static_cast<std::size_t>(row_)];
    if (row.kind == Row::Kind::take) {
        return homework::InTake{row.index, 0.0};
    }
    for (std::size_t take = 0; row.kind == Row::Kind::attempt && take < back().takes.size();
         ++take) {
        if (back().takes[take].attempt == row.index) {
            return homework::InTake{take, 0.0};
        }
    }
    return std::nullopt;
}

void ReviewPage::play(const homework::InTake& from, HomeworkShelf& shelf) {
    const auto heard = shelf.listen(filed_.file, from.take, from.at_s, half_speed_ ? 0.5 : 1.0);
    problem_ = heard ? std::string() : heard.error().message;
    heard_take_ = from.take;
    listening_ = shelf.listening();
}

void ReviewPage::refresh(HomeworkShelf& shelf) {
    listening_ = shelf.listening();
    if (!listening_.problem.empty()) {
        problem_ = listening_.problem;
    }
}

bool ReviewPage::press_on_sound(const Press& press, HomeworkShelf& shelf) {
    if (is_letter(press, 'p') || press.character == U' ') {
        if (listening_.sounding) {
            shelf.stop_listening();
            listening_ = shelf.listening();
        } else if (const auto from = place()) {
            play(*from, shelf);
        } else {
            said_ = "No take holds this.";
        }
        return true;
    }
    const double at_s = listening_.at_s;
    if (is_letter(press, 's')) {
        half_speed_ = !half_speed_;
        if (listening_.sounding && heard_take_) {
            play({*heard_take_, at_s}, shelf);
        }
        return true;
    }
    if (listening_.sounding && heard_take_ && (press.key == Key::left || press.key == Key::right)) {
        const double jump_s = press.key == Key::left ? -kJump_s : kJump_s;
        const double last_s = back().takes[*heard_take_].duration_s;
        play({*heard_take_, std::clamp(at_s + jump_s, 0.0, last_s)}, shelf);
        return true;
    }
    return false;
}

void ReviewPage::begin_comment() {
    written_ = {};
    edited_.reset();
    if (const homework::StepResult* step = chosen_step()) {
        written_.note = step->asked;
        written_.part = attempt()->part;
        if (const auto place = heard_in(*step)) {
            written_.take = static_cast<std::uint32_t>(place->take);
            written_.at_s = place->at_s;
            written_.part.reset();
        }
    } else if (const homework::Attempt* attempt = this->attempt()) {
        written_.part = attempt->part;
    } else if (const Row& row = rows_[static_cast<std::size_t>(row_)];
               row.kind == Row::Kind::take) {
        written_.take = static_cast<std::uint32_t>(row.index);
    }
    if (listening_.sounding && heard_take_) { // what is heard now is what is meant
        written_.take = static_cast<std::uint32_t>(*heard_take_);
        written_.at_s = std::clamp(listening_.at_s, 0.0, back().takes[*heard_take_].duration_s);
        written_.part.reset();
    }
    entry_.emplace();
}

bool ReviewPage::put(std::vector<homework::Comment> comments, HomeworkShelf& shelf) {
    const auto kept = shelf.put_comments(filed_.file, comments);
    problem_ = kept ? std::string() : kept.error().message;
    if (kept) {
        filed_.homework.comments = std::move(comments);
        choose_comment(comment_);
        if (now().comments.empty() && focus_ == Focus::comments) {
            focus_ = Focus::rows;
        }
    }
    return kept.has_value();
}

void ReviewPage::press_on_entry(const Press& press, HomeworkShelf& shelf) {
    if (press.key == Key::escape) {
        entry_.reset();
        problem_.clear();
        return;
    }
    if (press.key != Key::enter) {
        (void)entry_->press(press);
        return;
    }
    if (entry_->empty()) {
        entry_.reset();
        return;
    }
    homework::Homework next = now();
    homework::Comment comment = written_;
    comment.text = entry_->text();
    comment.written_at = shelf.now();
    if (edited_) {
        next.comments[*edited_] = std::move(comment);
    } else if (const auto added = homework::add_comment(next, std::move(comment)); !added) {
        problem_ = added.error().message; // what was written stays
        return;
    }
    std::vector<homework::Comment> before = now().comments;
    if (put(std::move(next.comments), shelf)) {
        before_.push_back(std::move(before));
        entry_.reset();
        said_ = "Written into the file: send it back to the student.";
    }
}

void ReviewPage::undo(HomeworkShelf& shelf) {
    if (!before_.empty() && put(before_.back(), shelf)) {
        before_.pop_back();
        said_ = "Taken back.";
    }
}

bool ReviewPage::press_on_rows(const Press& press) {
    int row = row_;
    if (move_choice(press, static_cast<int>(rows_.size()), row)) {
        choose(row);
        return true;
    }
    if (press.key == Key::enter || press.key == Key::right) {
        enter_steps();
        enter_comments();
        return true;
    }
    return false;
}

bool ReviewPage::press_on_steps(const Press& press, HomeworkShelf& shelf) {
    int step = step_;
    if (move_choice(press, static_cast<int>(steps_.size()), step)) {
        choose_step(step);
        shelf.stop_listening();
        return true;
    }
    return false;
}

bool ReviewPage::press_on_comments(const Press& press, HomeworkShelf& shelf) {
    const auto at = static_cast<std::size_t>(comment_);
    if (move_choice(press, static_cast<int>(now().comments.size()), comment_)) {
        return true;
    }
    const homework::Comment& comment = now().comments[at];
    if (comment.who != homework::Who::teacher) {
        return false; // the student's words stay as they are
    }
    if (press.key == Key::enter) {
        written_ = comment;
        edited_ = at;
        entry_.emplace(comment.text);
    } else if (is_letter(press, 'x') || press.key == Key::del) {
        std::vector<homework::Comment> before = now().comments;
        std::vector<homework::Comment> fewer = before;
        fewer.erase(fewer.begin() + comment_);
        if (put(std::move(fewer), shelf)) {
            before_.push_back(std::move(before));
            said_ = "Comment removed; U brings it back.";
        }
    } else {
        return false;
    }
    return true;
}

void ReviewPage::press(const Press& press, HomeworkShelf& shelf) {
    if (entry_) {
        press_on_entry(press, shelf);
        return;
    }
    said_.clear();
    if (press_on_sound(press, shelf) || (focus_ == Focus::rows && press_on_rows(press)) ||
        (focus_ == Focus::steps && press_on_steps(press, shelf)) ||
        (focus_ == Focus::comments && press_on_comments(press, shelf))) {
        return;
    }
    if (press.key == Key::escape || press.key == Key::left) {
        shelf.stop_listening();
        left_ = focus_ == Focus::rows && press.key == Key::escape;
        focus_ = Focus::rows;
    } else if (is_letter(press, 'f') && attempt() != nullptr) {
        all_ = !all_;
        find_steps();
        focus_ = steps_.empty() ? Focus::rows : focus_;
    } else if (is_letter(press, 'w')) {
        begin_comment();
    } else if (is_letter(press, 'u')) {
        undo(shelf);
    } else if (is_letter(press, 'c')) {
        copy_wish_ = filed_.file.string();
        said_ = "Its path is on the clipboard: " + *copy_wish_;
    } else if (is_letter(press, 'n')) {
        next_ = homework::next_after(now());
    }
}

bool ReviewPage::take_left() noexcept {
    return std::exchange(left_, false);
}

std::optional<homework::Homework> ReviewPage::take_next() {
    return std::exchange(next_, std::nullopt);
}

std::optional<std::string> ReviewPage::take_copy_wish() {
    return std::exchange(copy_wish_, std::nullopt);
}

std::vector<KeyHint> ReviewPage::hints() const {
    if (entry_) {
        return {hint(Key::enter, "save"), hint(Key::escape, "leave it")};
    }
    std::vector<KeyHint> hints;
    if (listening_.sounding) {
        hints = {hint('p', "stop"), hint(Key::right, "two seconds")};
    } else if (place()) {
        hints = {hint('p', "listen")};
    }
    if (place()) {
        hints.push_back(hint('s', half_speed_ ? "full speed" : "half speed"));
    }
    if (focus_ == Focus::rows && attempt() != nullptr && !steps_.empty()) {
        hints.push_back(hint(Key::enter, "note by note"));
    }
    if (focus_ == Focus::rows && row_ == 0 && !now().comments.empty()) {
        hints.push_back(hint(Key::enter, "the comments"));
    }
    if (focus_ == Focus::comments) {
        hints.push_back(hint(Key::enter, "rewrite"));
        hints.push_back(hint('x', "remove"));
    } else {
        hints.push_back(hint('w', "comment"));
    }
    if (attempt() != nullptr) {
        hints.push_back(hint('f', all_ ? "only what went wrong" : "all notes"));
    }
    if (!before_.empty()) {
        hints.push_back(hint('u', "undo"));
    }
    if (focus_ == Focus::rows) {
        hints.push_back(hint('n', "set what follows"));
        hints.push_back(hint('c', "copy path"));
    }
    hints.push_back(hint(Key::escape, "back"));
    return hints;
}

} // namespace bellhand::desk
