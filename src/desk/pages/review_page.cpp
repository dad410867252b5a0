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
    row_ = 0;
    focus_ = Focus::rows;
    step_ = 0;
    all_ = false;
    comment_ = 0;
    entry_.reset();
    edited_.reset();
    before_.clear();
    listening_ = {};
    heard_take_.reset();
    half_speed_ = false;
    left_ = false;
    next_.reset();
    problem_.clear();
    said_.clear();
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
            return !of_its_take && (comment.take || comment.task != attempt()->task);
        }
        return !(place && comment.take == place->take &&
                 std::abs(comment.at_s - place->at_s) < kSamePlace_s) &&
               !(!place && !comment.take && comment.task == attempt()->task && comment.note &&
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
    return words + (comment.task ? "task " + std::to_string(*comment.task + 1) : "on the whole");
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

void ReviewPage::play(const homework::InTake& from) {
    const auto heard = shelf_.listen(filed_.file, from.take, from.at_s, half_speed_ ? 0.5 : 1.0);
    problem_ = heard ? std::string() : heard.error().message;
    heard_take_ = from.take;
    listening_ = shelf_.listening();
}

void ReviewPage::refresh() {
    listening_ = shelf_.listening();
    if (!listening_.problem.empty()) {
        problem_ = listening_.problem;
    }
}

void ReviewPage::play_or_stop() {
    if (listening_.sounding) {
        shelf_.stop_listening();
        listening_ = shelf_.listening();
    } else if (const auto from = place()) {
        play(*from);
    }
}

void ReviewPage::change_speed() {
    half_speed_ = !half_speed_;
    if (listening_.sounding && heard_take_) {
        play({*heard_take_, listening_.at_s});
    }
}

void ReviewPage::jump(int step) {
    const double last_s = back().takes[*heard_take_].duration_s;
    play({*heard_take_, std::clamp(listening_.at_s + step * kJump_s, 0.0, last_s)});
}

void ReviewPage::begin_comment() {
    written_ = {};
    edited_.reset();
    if (const homework::StepResult* step = chosen_step()) {
        written_.note = step->asked;
        written_.task = attempt()->task;
        if (const auto place = heard_in(*step)) {
            written_.take = static_cast<std::uint32_t>(place->take);
            written_.at_s = place->at_s;
            written_.task.reset();
        }
    } else if (const homework::Attempt* attempt = this->attempt()) {
        written_.task = attempt->task;
    } else if (const Row& row = rows_[static_cast<std::size_t>(row_)];
               row.kind == Row::Kind::take) {
        written_.take = static_cast<std::uint32_t>(row.index);
    }
    if (listening_.sounding && heard_take_) { // what is heard now is what is meant
        written_.take = static_cast<std::uint32_t>(*heard_take_);
        written_.at_s = std::clamp(listening_.at_s, 0.0, back().takes[*heard_take_].duration_s);
        written_.task.reset();
    }
    entry_.emplace();
}

bool ReviewPage::put(std::vector<homework::Comment> comments) {
    const auto kept = shelf_.put_comments(filed_.file, comments);
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

void ReviewPage::leave_entry() {
    entry_.reset();
    problem_.clear();
}

void ReviewPage::save_entry() {
    said_.clear();
    if (entry_->empty()) {
        entry_.reset();
        return;
    }
    homework::Homework next = now();
    homework::Comment comment = written_;
    comment.text = entry_->text();
    comment.written_at = shelf_.now();
    if (edited_) {
        next.comments[*edited_] = std::move(comment);
    } else if (const auto added = homework::add_comment(next, std::move(comment)); !added) {
        problem_ = added.error().message; // what was written stays
        return;
    }
    std::vector<homework::Comment> before = now().comments;
    if (put(std::move(next.comments))) {
        before_.push_back(std::move(before));
        entry_.reset();
        if (const auto copy = shelf_.hand_out(filed_.file)) {
            said_ = "Written; send this file back to the student: " + copy->string();
            wishes_.saved = *copy;
        } else {
            problem_ = copy.error().message;
        }
    }
}

void ReviewPage::undo() {
    if (!before_.empty() && put(before_.back())) {
        before_.pop_back();
        said_ = "Taken back.";
    }
}

bool ReviewPage::may_rewrite() const noexcept {
    return focus_ == Focus::comments && // the student's words stay as they are
           now().comments[static_cast<std::size_t>(comment_)].who == homework::Who::teacher;
}

void ReviewPage::rewrite_comment() {
    said_.clear();
    written_ = now().comments[static_cast<std::size_t>(comment_)];
    edited_ = static_cast<std::size_t>(comment_);
    entry_.emplace(written_.text);
}

void ReviewPage::remove_comment() {
    std::vector<homework::Comment> before = now().comments;
    std::vector<homework::Comment> fewer = before;
    fewer.erase(fewer.begin() + comment_);
    if (put(std::move(fewer))) {
        before_.push_back(std::move(before));
        said_ = "Comment removed; U brings it back.";
    }
}

void ReviewPage::show_all_or_not() {
    said_.clear();
    all_ = !all_;
    find_steps();
    focus_ = steps_.empty() ? Focus::rows : focus_;
}

void ReviewPage::go_back() {
    said_.clear();
    shelf_.stop_listening();
    left_ = focus_ == Focus::rows;
    focus_ = Focus::rows;
}

bool ReviewPage::take_left() noexcept {
    return std::exchange(left_, false);
}

std::optional<homework::Homework> ReviewPage::take_next() {
    return std::exchange(next_, std::nullopt);
}

void ReviewPage::add_sound_lines(KeyTable& table) {
    if (listening_.sounding || place()) {
        table.push_back(
            on('p', listening_.sounding ? "stop" : "play", [this] { play_or_stop(); }).or_key(' '));
        table.push_back(
            on('h', half_speed_ ? "full speed" : "half speed", [this] { change_speed(); }));
    }
    if (listening_.sounding && heard_take_) {
        table.push_back(
            on_steps(Key::left, Key::right, "two seconds", [this](int step) { jump(step); }));
    }
}

void ReviewPage::add_row_lines(KeyTable& table) {
    table.push_back(on_rows(
        static_cast<int>(rows_.size()), row_, "another row", [this](int row) { choose(row); }));
    const bool whole = row_ == 0 && !now().comments.empty();
    if (whole || (attempt() != nullptr && !steps_.empty())) {
        table.push_back(on(Key::enter, whole ? "the comments" : "note by note", [this] {
                            enter_steps();
                            enter_comments();
                        }).or_key(Key::right));
    }
}

void ReviewPage::add_comment_lines(KeyTable& table) {
    table.push_back(on_rows(
        static_cast<int>(now().comments.size()), comment_, "another comment", [this](int row) {
            choose_comment(row);
        }));
    if (may_rewrite()) {
        table.push_back(on(Key::enter, "rewrite", [this] { rewrite_comment(); }));
        table.push_back(on('x', "delete", [this] { remove_comment(); }).or_key(Key::del));
    }
}

KeyTable ReviewPage::keys() {
    if (entry_) {
        return {on(Key::enter, "save", [this] { save_entry(); }).at(Foot::always),
                on(Key::escape, "leave it", [this] { leave_entry(); }).at(Foot::always)};
    }
    KeyTable table;
    add_sound_lines(table);
    if (focus_ == Focus::rows) {
        add_row_lines(table);
    } else if (focus_ == Focus::comments) {
        add_comment_lines(table);
    } else {
        table.push_back(
            on_rows(static_cast<int>(steps_.size()), step_, "another note", [this](int row) {
                choose_step(row);
                shelf_.stop_listening();
            }));
    }
    table.push_back(on('w', "words on it", [this] {
        said_.clear();
        begin_comment();
    }));
    if (attempt() != nullptr) {
        table.push_back(
            on('f', all_ ? "only what went wrong" : "all notes", [this] { show_all_or_not(); }));
    }
    if (!before_.empty()) {
        table.push_back(on('u', "undo", [this] { undo(); }));
    }
    if (focus_ == Focus::rows) {
        table.push_back(
            on('n', "what is asked next", [this] { next_ = homework::next_after(now()); }));
        table.push_back(on_control('c', "copy path", [this] {
            wishes_.clipboard = filed_.file.string();
            said_ = "Its path is on the clipboard: " + filed_.file.string();
        }));
    }
    KeyLine back = on(Key::escape, "back", [this] { go_back(); }).at(Foot::always);
    table.push_back(focus_ == Focus::rows ? back : back.or_key(Key::left));
    return table;
}

} // namespace bellhand::desk
