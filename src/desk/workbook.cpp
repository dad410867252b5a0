#include "desk/workbook.h"

#include "drill/exercise_file.h"
#include "drill/playable.h"
#include "skill/focus.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

Workbook::Workbook(std::shared_ptr<Shelf> shelf) : shelf_(std::move(shelf)) {}

void Workbook::open(Screen screen, const horn::Tuning& tuning) {
    if (open_ == Screen::log && screen != Screen::log) {
        log_.leave(*shelf_);
    }
    if (open_ == Screen::homework && screen != Screen::homework) {
        homework_.leave(*shelf_);
    }
    open_ = screen;
    if (screen == Screen::today) {
        today_.open(*shelf_, tuning);
    } else if (screen == Screen::log) {
        log_.open(*shelf_);
    } else if (screen == Screen::progress) {
        progress_.open(*shelf_);
    } else if (screen == Screen::homework) {
        homework_.open(*shelf_);
    }
}

void Workbook::refresh(Screen screen) {
    if (screen == Screen::log) {
        log_.refresh(*shelf_);
    } else if (screen == Screen::homework) {
        homework_.refresh(*shelf_);
    }
    if (!running_) {
        return;
    }
    desk::refresh(run_, running_->state(), running_->tuning());
    if (of_plan_) {
        for (std::size_t i = 0; i < run_.summaries.size(); ++i) {
            today_.mark_done(first_block_ + i);
        }
    }
}

bool Workbook::press(Screen screen, const Press& press, const horn::Tuning& tuning) {
    if (screen == Screen::run) {
        return press_on_run(press);
    }
    if (screen == Screen::today) {
        const bool taken = today_.press(press, *shelf_);
        if (today_.take_begin()) {
            const auto& blocks = today_.plan().blocks;
            first_block_ = static_cast<std::size_t>(today_.chosen());
            of_plan_ = true;
            back_to_ = Screen::today;
            run_wish_.emplace(blocks.begin() + today_.chosen(), blocks.end());
        }
        return taken;
    }
    if (screen == Screen::log) {
        return log_.press(press, *shelf_);
    }
    if (screen == Screen::progress) {
        return progress_.press(press, *shelf_);
    }
    if (screen == Screen::homework) {
        const bool taken = homework_.press(press, *shelf_, tuning);
        if (auto blocks = homework_.take_run_wish()) {
            of_plan_ = false;
            back_to_ = Screen::homework;
            run_wish_ = std::move(*blocks);
        }
        return taken;
    }
    return false;
}

bool Workbook::press_on_run(const Press& press) {
    const bool over = !running_ || running_->state().stage == run::Stage::finished;
    if (press.key == Key::escape || (over && (press.character == U' ' || press.key == Key::enter ||
                                              press.key == Key::page_down))) {
        end_wish_ = true;
        wanted_screen_ = back_to_;
        return true;
    }
    if (over) {
        return false;
    }
    if (press.character == U' ' || press.key == Key::enter) {
        running_->press(run::Key::pause);
    } else if (press.key == Key::page_down || press.key == Key::right) {
        running_->press(run::Key::next);
    } else if (press.key == Key::page_up || press.key == Key::left) {
        running_->press(run::Key::back);
    } else if (press.key == Key::up || is_letter(press, 'r')) {
        running_->press(run::Key::repeat);
    } else if (press.key == Key::down || is_letter(press, 'k')) {
        running_->press(run::Key::keep);
        keep_wish_ = true;
    } else if (is_letter(press, 'l')) {
        running_->press(run::Key::headphones);
    } else {
        // The lesson chooses crook, screen and input; light or dark and help stay.
        return !(is_letter(press, 'd') || is_letter(press, 'h') || press.character == U'?');
    }
    return true;
}

void Workbook::look_for_exercises(const horn::Crook& crook) {
    exercises_.clear();
    auto all = shelf_->exercises();
    exercises_problem_ = all ? std::string() : all.error().message;
    if (!all) {
        return;
    }
    all->insert(all->begin(), own_exercises_.begin(), own_exercises_.end());
    for (drill::Exercise& exercise : *all) {
        const drill::Playable playable = drill::playable(exercise, crook);
        exercises_.push_back({std::move(exercise), playable.yes ? std::string() : playable.why});
    }
    std::stable_partition(exercises_.begin(), exercises_.end(), [](const ExerciseRow& row) {
        return row.why_not.empty();
    });
}

Result<void> Workbook::take_exercises(const std::filesystem::path& file) {
    auto read = drill::load_exercises(file);
    if (!read) {
        return tl::unexpected(read.error());
    }
    own_exercises_ = std::move(read->exercises);
    return {};
}

void Workbook::wish_exercise(std::size_t row, const horn::Crook& crook) {
    skill::PlannedBlock block;
    block.exercise = exercises_[row].exercise;
    block.crook = crook;
    block.why = block.exercise.purpose;
    const double once_s = skill::length_s(block.exercise);
    block.play_s = once_s * std::max(1, block.exercise.repetitions);
    block.rest_s = block.play_s;
    of_plan_ = false;
    back_to_ = Screen::today;
    run_wish_.emplace();
    run_wish_->push_back(std::move(block));
}

std::optional<std::vector<skill::PlannedBlock>> Workbook::take_run_wish() {
    return std::exchange(run_wish_, std::nullopt);
}

Result<void> Workbook::begin(std::vector<skill::PlannedBlock> blocks, const run::Options& options) {
    auto skills = shelf_->skills();
    if (!skills) {
        return tl::unexpected(skills.error());
    }
    auto made = run::Run::make(std::move(blocks), std::move(*skills), options);
    if (!made) {
        return tl::unexpected(made.error());
    }
    running_ = std::move(*made);
    run_ = {};
    desk::refresh(run_, running_->state(), running_->tuning());
    wanted_screen_ = Screen::run;
    return {};
}

std::optional<std::string> Workbook::take_copy_wish() {
    auto wish = homework_.take_copy_wish();
    return wish ? wish : progress_.take_copy_wish();
}

bool Workbook::take_keep_wish() noexcept {
    return std::exchange(keep_wish_, false);
}

bool Workbook::take_end_wish() noexcept {
    return std::exchange(end_wish_, false);
}

void Workbook::end_run() {
    if (running_) {
        desk::refresh(run_, running_->state(), running_->tuning());
        running_.reset();
    }
}

bool Workbook::writing(Screen screen) const noexcept {
    return (screen == Screen::log && (log_.writing() || log_.room_entry())) ||
           (screen == Screen::homework && homework_.writing());
}

std::optional<Screen> Workbook::take_wanted_screen() noexcept {
    return std::exchange(wanted_screen_, std::nullopt);
}

std::vector<KeyHint> Workbook::hints(Screen screen) const {
    if (screen == Screen::run) {
        if (run_.stage == RunStage::done) {
            return {hint(' ', std::string("back to ") + name_of(back_to_))};
        }
        return {hint(' ', run_.stage == RunStage::paused ? "go on" : "pause"),
                hint(Key::page_down, run_.stage == RunStage::rest ? "end the rest" : "next"),
                hint(Key::page_up, "back"),
                hint('r', "from the beginning"),
                hint('k', run_.kept > 0 ? "kept; keep again" : "keep that"),
                hint(Key::escape, "end")};
    }
    if (screen == Screen::today) {
        return today_.hints();
    }
    if (screen == Screen::log) {
        return log_.hints();
    }
    if (screen == Screen::progress) {
        return progress_.hints();
    }
    if (screen == Screen::homework) {
        return homework_.hints();
    }
    return {};
}

} // namespace bellhand::desk
