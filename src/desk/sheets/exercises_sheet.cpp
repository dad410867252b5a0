#include "desk/sheets/exercises_sheet.h"

#include "drill/exercise_file.h"
#include "drill/playable.h"
#include "skill/focus.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

void ExercisesSheet::enter() {
    select(0);
    listed_.clear();
    auto all = shelf_.exercises();
    problem_ = all ? std::string() : all.error().message;
    if (!all) {
        return;
    }
    all->insert(all->begin(), own_.begin(), own_.end());
    for (drill::Exercise& exercise : *all) {
        const drill::Playable playable = drill::playable(exercise, session_.tuning().crook);
        listed_.push_back({std::move(exercise), playable.yes ? std::string() : playable.why});
    }
    std::stable_partition(
        listed_.begin(), listed_.end(), [](const ExerciseRow& row) { return row.why_not.empty(); });
}

Result<void> ExercisesSheet::take_file(const std::filesystem::path& file) {
    auto read = drill::load_exercises(file);
    if (!read) {
        return tl::unexpected(read.error());
    }
    own_ = std::move(read->exercises);
    return {};
}

void ExercisesSheet::accept() {
    const auto row = static_cast<std::size_t>(selected());
    if (row >= listed_.size() || !listed_[row].why_not.empty()) {
        return;
    }
    skill::PlannedBlock block;
    block.exercise = listed_[row].exercise;
    block.crook = session_.tuning().crook;
    block.why = block.exercise.purpose;
    const double once_s = skill::length_s(block.exercise);
    block.play_s = once_s * std::max(1, block.exercise.repetitions);
    block.rest_s = block.play_s;
    wishes_.close_sheet = true;
    wishes_.run = RunWish{{std::move(block)}, std::nullopt, nullptr};
}

} // namespace bellhand::desk
