#include "desk/pages/homework_page.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

namespace {

std::string quoted(const homework::Homework& homework) {
    return "\"" + homework.title + "\"";
}

} // namespace

const homework::Given* HomeworkPage::chosen_given() const noexcept {
    const auto row = static_cast<std::size_t>(chosen_);
    return row < given_.size() ? &given_[row] : nullptr;
}

const homework::Filed* HomeworkPage::chosen_filed() const noexcept {
    const auto row = static_cast<std::size_t>(chosen_);
    return row >= given_.size() && row < given_.size() + filed_.size()
               ? &filed_[row - given_.size()]
               : nullptr;
}

void HomeworkPage::read() {
    auto given = shelf_.homework().given();
    problem_ = given ? std::string() : given.error().message;
    given_ = given ? std::move(*given) : std::vector<homework::Given>{};
    filed_ = shelf_.homework().filed();
    const auto draft = shelf_.homework().draft();
    draft_waits_ = !draft || *draft;
    chosen_ = std::clamp(chosen_, 0, std::max(0, rows() - 1));
    show_chosen();
}

void HomeworkPage::enter() {
    said_.clear();
    read();
}

void HomeworkPage::leave() {
    shelf_.stop_listening();
    shelf_.homework().stop_listening();
}

void HomeworkPage::refresh() {
    if (inner_ == Inner::review) {
        review_.refresh();
    } else if (inner_ == Inner::list) {
        work_.refresh();
    }
}

void HomeworkPage::show_chosen() {
    if (const homework::Given* given = chosen_given()) {
        work_.show(*given);
    } else {
        work_.clear();
    }
}

void HomeworkPage::choose(int row) {
    const int wanted = std::clamp(row, 0, std::max(0, rows() - 1));
    if (wanted == chosen_) {
        return;
    }
    chosen_ = wanted;
    problem_.clear();
    said_.clear();
    shelf_.stop_listening();
    show_chosen();
}

void HomeworkPage::choose_file(const std::filesystem::path& file) {
    for (std::size_t i = 0; i < filed_.size(); ++i) {
        if (filed_[i].file == file) {
            choose(static_cast<int>(given_.size() + i));
        }
    }
}

void HomeworkPage::take_file(const std::filesystem::path& file) {
    const auto opened = shelf_.homework().take_file(file);
    inner_ = Inner::list;
    if (!opened) {
        problem_ = opened.error().message;
        said_.clear();
        return;
    }
    read();
    if (opened->as == OpenedHomework::As::returned) {
        choose_file(opened->file);
        if (const homework::Filed* filed = chosen_filed()) {
            review_.open(*filed);
            inner_ = Inner::review;
        }
        return;
    }
    for (std::size_t i = 0; i < given_.size(); ++i) {
        if (given_[i].homework.id == opened->id) {
            choose(static_cast<int>(i));
            said_ = opened->as == OpenedHomework::As::answered
                        ? std::to_string(opened->comments) + " new " +
                              (opened->comments == 1 ? "comment" : "comments") +
                              " from the teacher, on your takes in the log."
                    : opened->known
                        ? "It is here already."
                        : quoted(given_[i].homework) + " is here now; today's plan asks for it.";
        }
    }
}

void HomeworkPage::compose_from(const homework::Homework& draft,
                                const std::optional<homework::Homework>& before) {
    auto exercises = shelf_.exercises();
    if (!exercises) {
        problem_ = exercises.error().message;
        return;
    }
    said_.clear();
    problem_.clear();
    compose_.begin(draft, before, std::move(*exercises), shelf_.homework().today());
    inner_ = Inner::compose;
}

void HomeworkPage::compose_instead(const homework::Homework& draft) {
    const auto waits = shelf_.homework().draft();
    if (!waits) {
        problem_ = waits.error().message;
        return;
    }
    if (const auto kept = shelf_.homework().keep_draft(draft); !kept) {
        problem_ = kept.error().message;
        return;
    }
    compose_from(draft, *waits);
}

void HomeworkPage::compose_new() {
    const auto waits = shelf_.homework().draft();
    if (!waits) {
        problem_ = waits.error().message;
        return;
    }
    homework::Homework fresh;
    fresh.a4_hz = tuning_.a4_hz;
    fresh.temperament = tuning_.temperament.id;
    const auto known = std::find_if(filed_.begin(), filed_.end(), [](const auto& filed) {
        return !filed.homework.teacher.empty();
    });
    if (known != filed_.end()) { // who composes is mostly the same
        fresh.teacher = known->homework.teacher;
    }
    compose_from(waits->value_or(fresh), std::nullopt);
}

void HomeworkPage::after_key() {
    Wishes of_review = review_.take_wishes();
    if (of_review.clipboard) {
        wishes_.clipboard = std::move(of_review.clipboard);
    }
    if (of_review.saved) {
        wishes_.saved = std::move(of_review.saved);
    }
    if (inner_ == Inner::compose) {
        if (const auto saved = compose_.take_saved()) {
            inner_ = Inner::list;
            read();
            choose_file(*saved);
            if (const auto copy = shelf_.homework().hand_out(*saved)) {
                said_ = "Saved; send this file to the student: " + copy->string();
                wishes_.saved = *copy;
            } else {
                problem_ = copy.error().message;
            }
        } else if (compose_.take_left()) {
            inner_ = Inner::list;
            read();
        }
    } else if (inner_ == Inner::review) {
        if (const auto next = review_.take_next()) {
            shelf_.homework().stop_listening();
            compose_instead(*next);
        } else if (review_.take_left()) {
            shelf_.homework().stop_listening();
            inner_ = Inner::list;
            read();
        }
    }
}

void HomeworkPage::give_back() {
    const homework::Given& given = *chosen_given();
    const std::string id = given.homework.id;
    auto file = shelf_.homework().give_back(id, work_.words(), work_.going_back());
    if (file) {
        file = shelf_.homework().hand_out(*file);
    }
    if (!file) {
        problem_ = file.error().message;
        return;
    }
    read();
    last_returned_ = std::move(*file);
    last_returned_id_ = id;
    said_ = "Written; send this file to the teacher: " + last_returned_->string();
    wishes_.saved = last_returned_;
}

void HomeworkPage::remove_chosen() {
    if (const homework::Given* given = chosen_given()) {
        auto removed = shelf_.homework().remove_given(given->homework.id);
        if (!removed) {
            problem_ = removed.error().message;
            return;
        }
        undo_words_ = quoted(given->homework) + " removed";
        undo_ = [record = std::move(*removed)](HomeworkShelf& homework) {
            return homework.restore_given(record);
        };
    } else if (const homework::Filed* filed = chosen_filed()) {
        const std::filesystem::path file = filed->file;
        if (const auto removed = shelf_.homework().remove_file(file); !removed) {
            problem_ = removed.error().message;
            return;
        }
        undo_words_ =
            (filed->problem.empty() ? quoted(filed->homework) : file.filename().string()) +
            " removed";
        undo_ = [file](HomeworkShelf& homework) { return homework.restore_file(file); };
    }
    said_.clear();
    read();
}

void HomeworkPage::undo() {
    if (!undo_) {
        return;
    }
    const auto done = undo_(shelf_.homework());
    if (done) {
        undo_ = nullptr;
        undo_words_.clear();
        read();
    } else {
        problem_ = done.error().message;
    }
}

void HomeworkPage::work_on(const homework::Given& given) {
    auto blocks = shelf_.homework().work(given, tuning_.crook);
    if (!blocks.empty()) {
        wishes_.run = RunWish{std::move(blocks), std::nullopt, nullptr};
        return;
    }
    said_ = given.returned_at.empty() ? "All of it is done; S writes the file that goes back."
                                      : "It was sent back; nothing is left to do.";
}

void HomeworkPage::copy_path(const std::filesystem::path& file) {
    wishes_.clipboard = file.string();
    said_ = "On the clipboard: " + file.string();
}

void HomeworkPage::look_or_use_again(const homework::Filed& filed) {
    if (filed.homework.returned) {
        review_.open(filed);
        inner_ = Inner::review;
        return;
    }
    homework::Homework again = filed.homework;
    again.id.clear();
    again.written_on.clear();
    again.due_on.clear();
    compose_instead(again);
}

Page* HomeworkPage::inner_page() noexcept {
    if (inner_ == Inner::compose) {
        return &compose_;
    }
    if (inner_ == Inner::review) {
        return &review_;
    }
    return work_.writing() || work_.on_takes() ? &work_ : nullptr;
}

bool HomeworkPage::writing() const {
    return inner_ == Inner::compose  ? compose_.writing()
           : inner_ == Inner::review ? review_.writing()
                                     : work_.writing();
}

void HomeworkPage::write(const Press& press) {
    inner_page()->write(press);
}

void HomeworkPage::add_given_lines(KeyTable& table, const homework::Given& given) {
    table.push_back(on(' ', "work on it", [this, &given] { work_on(given); }));
    table.push_back(on('s', "send it back", [this] { give_back(); }).at(Foot::always));
    if (!work_.takes().empty()) {
        table.push_back(
            on(Key::enter, "its takes", [this] { work_.enter_takes(); }).or_key(Key::right));
    }
    table.push_back(on('w', "words with it", [this] { work_.begin_words(); }));
    if (last_returned_ && last_returned_id_ == given.homework.id) {
        table.push_back(on_control('c', "copy path", [this] { copy_path(*last_returned_); }));
    }
}

void HomeworkPage::add_filed_lines(KeyTable& table, const homework::Filed& filed) {
    if (filed.problem.empty()) {
        table.push_back(
            on(Key::enter, filed.homework.returned ? "look at it" : "use again", [this, &filed] {
                look_or_use_again(filed);
            }).or_key(Key::right));
    }
    table.push_back(on_control('c', "copy path", [this, &filed] {
        const auto copy = shelf_.homework().hand_out(filed.file);
        if (copy) {
            copy_path(*copy);
        } else {
            problem_ = copy.error().message;
        }
    }));
}

KeyTable HomeworkPage::keys() {
    if (Page* inner = inner_page()) {
        return inner->keys();
    }
    KeyTable table;
    if (undo_) {
        table.push_back(on('u', "undo: " + undo_words_, [this] { undo(); }));
    }
    if (const homework::Given* given = chosen_given()) {
        add_given_lines(table, *given);
    } else if (const homework::Filed* filed = chosen_filed()) {
        add_filed_lines(table, *filed);
    }
    if (rows() > 0) {
        table.push_back(on('x', "delete", [this] { remove_chosen(); }).or_key(Key::del));
        table.push_back(
            on_rows(rows(), chosen_, "another homework", [this](int row) { choose(row); }));
    }
    table.push_back(on('n',
                       draft_waits_ ? "go on with the draft" : "compose what is asked next",
                       [this] { compose_new(); }));
    return table;
}

} // namespace bellhand::desk
