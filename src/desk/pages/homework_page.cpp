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

void HomeworkPage::read(Shelf& shelf) {
    auto given = shelf.homework().given();
    problem_ = given ? std::string() : given.error().message;
    given_ = given ? std::move(*given) : std::vector<homework::Given>{};
    filed_ = shelf.homework().filed();
    const auto draft = shelf.homework().draft();
    draft_waits_ = !draft || *draft;
    chosen_ = std::clamp(chosen_, 0, std::max(0, rows() - 1));
    show_chosen(shelf);
}

void HomeworkPage::open(Shelf& shelf) {
    said_.clear();
    read(shelf);
}

void HomeworkPage::leave(Shelf& shelf) {
    shelf.stop_listening();
    shelf.homework().stop_listening();
}

void HomeworkPage::refresh(Shelf& shelf) {
    if (inner_ == Inner::review) {
        review_.refresh(shelf.homework());
    } else if (inner_ == Inner::list) {
        work_.refresh(shelf);
    }
}

void HomeworkPage::show_chosen(Shelf& shelf) {
    if (const homework::Given* given = chosen_given()) {
        work_.show(*given, shelf.homework());
    } else {
        work_.clear();
    }
}

void HomeworkPage::choose(int row, Shelf& shelf) {
    const int wanted = std::clamp(row, 0, std::max(0, rows() - 1));
    if (wanted == chosen_) {
        return;
    }
    chosen_ = wanted;
    problem_.clear();
    said_.clear();
    shelf.stop_listening();
    show_chosen(shelf);
}

void HomeworkPage::choose_file(const std::filesystem::path& file, Shelf& shelf) {
    for (std::size_t i = 0; i < filed_.size(); ++i) {
        if (filed_[i].file == file) {
            choose(static_cast<int>(given_.size() + i), shelf);
        }
    }
}

void HomeworkPage::take_file(const std::filesystem::path& file, Shelf& shelf) {
    const auto opened = shelf.homework().take_file(file);
    inner_ = Inner::list;
    if (!opened) {
        problem_ = opened.error().message;
        said_.clear();
        return;
    }
    read(shelf);
    if (opened->as == OpenedHomework::As::returned) {
        choose_file(opened->file, shelf);
        if (const homework::Filed* filed = chosen_filed()) {
            review_.open(*filed);
            inner_ = Inner::review;
        }
        return;
    }
    for (std::size_t i = 0; i < given_.size(); ++i) {
        if (given_[i].homework.id == opened->id) {
            choose(static_cast<int>(i), shelf);
            said_ = opened->as == OpenedHomework::As::answered
                        ? std::to_string(opened->comments) + " new " +
                              (opened->comments == 1 ? "comment" : "comments") +
                              " of the teacher's stand at your takes in the log."
                    : opened->known
                        ? "It was here already."
                        : quoted(given_[i].homework) + " is here now; today's plan asks for it.";
        }
    }
}

void HomeworkPage::compose_from(const homework::Homework& draft,
                                const std::optional<homework::Homework>& before,
                                Shelf& shelf) {
    auto exercises = shelf.exercises();
    if (!exercises) {
        problem_ = exercises.error().message;
        return;
    }
    said_.clear();
    problem_.clear();
    compose_.begin(draft, before, std::move(*exercises), shelf.homework().today());
    inner_ = Inner::compose;
}

void HomeworkPage::compose_instead(const homework::Homework& draft, Shelf& shelf) {
    const auto waits = shelf.homework().draft();
    if (!waits) {
        problem_ = waits.error().message;
        return;
    }
    if (const auto kept = shelf.homework().keep_draft(draft); !kept) {
        problem_ = kept.error().message;
        return;
    }
    compose_from(draft, *waits, shelf);
}

void HomeworkPage::compose_new(Shelf& shelf, const horn::Tuning& tuning) {
    const auto waits = shelf.homework().draft();
    if (!waits) {
        problem_ = waits.error().message;
        return;
    }
    homework::Homework fresh;
    fresh.a4_hz = tuning.a4_hz;
    fresh.temperament = tuning.temperament.id;
    const auto known = std::find_if(filed_.begin(), filed_.end(), [](const auto& filed) {
        return !filed.homework.teacher.empty();
    });
    if (known != filed_.end()) { // who composes is mostly the same
        fresh.teacher = known->homework.teacher;
    }
    compose_from(waits->value_or(fresh), std::nullopt, shelf);
}

void HomeworkPage::follow_inner(Shelf& shelf) {
    if (inner_ == Inner::compose) {
        if (const auto saved = compose_.take_saved()) {
            inner_ = Inner::list;
            read(shelf);
            choose_file(*saved, shelf);
            said_ = "Saved; send this file to the student: " + saved->string();
        } else if (compose_.take_left()) {
            inner_ = Inner::list;
            read(shelf);
        }
    } else if (inner_ == Inner::review) {
        if (const auto next = review_.take_next()) {
            shelf.homework().stop_listening();
            compose_instead(*next, shelf);
        } else if (review_.take_left()) {
            shelf.homework().stop_listening();
            inner_ = Inner::list;
            read(shelf);
        }
    }
}

void HomeworkPage::give_back(Shelf& shelf) {
    const homework::Given& given = *chosen_given();
    const std::string id = given.homework.id;
    auto file = shelf.homework().give_back(id, work_.words(), work_.going_back());
    if (!file) {
        problem_ = file.error().message;
        return;
    }
    read(shelf);
    last_returned_ = std::move(*file);
    last_returned_id_ = id;
    said_ = "Written; send this file to the teacher: " + last_returned_->string();
}

void HomeworkPage::remove_chosen(Shelf& shelf) {
    if (const homework::Given* given = chosen_given()) {
        auto removed = shelf.homework().remove_given(given->homework.id);
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
        if (const auto removed = shelf.homework().remove_file(file); !removed) {
            problem_ = removed.error().message;
            return;
        }
        undo_words_ =
            (filed->problem.empty() ? quoted(filed->homework) : file.filename().string()) +
            " removed";
        undo_ = [file](HomeworkShelf& homework) { return homework.restore_file(file); };
    }
    said_.clear();
    read(shelf);
}

void HomeworkPage::undo(Shelf& shelf) {
    if (!undo_) {
        return;
    }
    const auto done = undo_(shelf.homework());
    if (done) {
        undo_ = nullptr;
        undo_words_.clear();
        read(shelf);
    } else {
        problem_ = done.error().message;
    }
}

bool HomeworkPage::press_on_given(const Press& press, Shelf& shelf, const horn::Tuning& tuning) {
    const homework::Given& given = *chosen_given();
    if (press.character == U' ') {
        auto blocks = shelf.homework().work(given, tuning.crook);
        if (blocks.empty()) {
            said_ = given.returned_at.empty()
                        ? "All of it is done; R writes the file that goes back."
                        : "It went back already; nothing is left to do.";
        } else {
            run_wish_ = std::move(blocks);
        }
    } else if (press.key == Key::enter || press.key == Key::right) {
        work_.enter_takes();
    } else if (is_letter(press, 'w')) {
        work_.write();
    } else if (is_letter(press, 'r')) {
        give_back(shelf);
    } else if (is_letter(press, 'p') && last_returned_ && last_returned_id_ == given.homework.id) {
        copy_wish_ = last_returned_->string();
        said_ = "Its path is on the clipboard.";
    } else {
        return false;
    }
    return true;
}

bool HomeworkPage::press_on_filed(const Press& press, Shelf& shelf) {
    const homework::Filed& filed = *chosen_filed();
    if (is_letter(press, 'p')) {
        copy_wish_ = filed.file.string();
        said_ = "Its path is on the clipboard.";
        return true;
    }
    if (!filed.problem.empty()) {
        return false;
    }
    if (press.key == Key::enter || press.key == Key::right) {
        if (filed.homework.returned) {
            review_.open(filed);
            inner_ = Inner::review;
        } else {
            homework::Homework again = filed.homework;
            again.id.clear();
            again.written_on.clear();
            again.due_on.clear();
            compose_instead(again, shelf);
        }
        return true;
    }
    return false;
}

bool HomeworkPage::press(const Press& press, Shelf& shelf, const horn::Tuning& tuning) {
    if (inner_ == Inner::compose) {
        compose_.press(press, shelf.homework());
        follow_inner(shelf);
        return true;
    }
    if (inner_ == Inner::review) {
        review_.press(press, shelf.homework());
        follow_inner(shelf);
        return true;
    }
    if (work_.press(press, shelf)) {
        return true;
    }
    if (work_.on_takes()) {
        return false;
    }
    int wanted = chosen_;
    if (move_choice(press, rows(), wanted)) {
        choose(wanted, shelf);
        return true;
    }
    if (chosen_given() != nullptr ? press_on_given(press, shelf, tuning)
                                  : chosen_filed() != nullptr && press_on_filed(press, shelf)) {
        return true;
    }
    if (is_letter(press, 'n')) {
        compose_new(shelf, tuning);
    } else if ((is_letter(press, 'x') || press.key == Key::del) && rows() > 0) {
        remove_chosen(shelf);
    } else if (is_letter(press, 'u')) {
        undo(shelf);
    } else {
        return false;
    }
    return true;
}

std::optional<std::vector<skill::PlannedBlock>> HomeworkPage::take_run_wish() {
    return std::exchange(run_wish_, std::nullopt);
}

std::optional<std::string> HomeworkPage::take_copy_wish() {
    auto wish = review_.take_copy_wish();
    return wish ? wish : std::exchange(copy_wish_, std::nullopt);
}

bool HomeworkPage::writing() const noexcept {
    return inner_ == Inner::compose  ? compose_.writing()
           : inner_ == Inner::review ? review_.writing()
                                     : work_.writing().has_value();
}

std::vector<KeyHint> HomeworkPage::hints() const {
    if (inner_ == Inner::compose) {
        return compose_.hints();
    }
    if (inner_ == Inner::review) {
        return review_.hints();
    }
    if (work_.writing() || work_.on_takes()) {
        return work_.hints();
    }
    std::vector<KeyHint> hints;
    if (!undo_words_.empty()) {
        hints.push_back(hint('u', "undo: " + undo_words_));
    }
    if (const homework::Given* given = chosen_given()) {
        hints.push_back(hint(' ', "work on it"));
        hints.push_back(hint('r', "give it back"));
        if (!work_.takes().empty()) {
            hints.push_back(hint(Key::enter, "its takes"));
        }
        hints.push_back(hint('w', "words with it"));
        if (last_returned_ && last_returned_id_ == given->homework.id) {
            hints.push_back(hint('p', "copy path"));
        }
        hints.push_back(hint('x', "remove"));
    } else if (const homework::Filed* filed = chosen_filed()) {
        if (filed->problem.empty()) {
            hints.push_back(
                hint(Key::enter, filed->homework.returned ? "look at it" : "use again"));
        }
        hints.push_back(hint('p', "copy path"));
        hints.push_back(hint('x', "remove"));
    }
    hints.push_back(hint('n', draft_waits_ ? "go on with the draft" : "compose one"));
    return hints;
}

} // namespace bellhand::desk
