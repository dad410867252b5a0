#include "desk/model/exercise_picker.h"

#include <algorithm>
#include <cctype>
#include <sstream>
#include <utility>

namespace bellhand::desk {

namespace {

std::string small_letters(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) {
        return static_cast<char>(std::tolower(c));
    });
    return text;
}

bool holds_every_word(const drill::Exercise& exercise, const std::string& typed) {
    const std::string all = small_letters(exercise.title + ' ' + exercise.family + ' ' +
                                          exercise.purpose + ' ' + exercise.id);
    std::istringstream words(small_letters(typed));
    std::string word;
    while (words >> word) {
        if (all.find(word) == std::string::npos) {
            return false;
        }
    }
    return true;
}

} // namespace

ExercisePicker::ExercisePicker(std::vector<drill::Exercise> exercises)
    : exercises_(std::move(exercises)) {
    find();
}

void ExercisePicker::find() {
    found_.clear();
    for (std::size_t i = 0; i < exercises_.size(); ++i) {
        if (holds_every_word(exercises_[i], typed_.text())) {
            found_.push_back(i);
        }
    }
    chosen_ = 0;
}

void ExercisePicker::clear() {
    typed_.set({});
    find();
}

void ExercisePicker::choose(int row) noexcept {
    chosen_ = std::clamp(row, 0, std::max(0, rows() - 1));
}

bool ExercisePicker::press(const Press& press) {
    if (press.key == Key::up || press.key == Key::down) {
        choose(chosen_ + (press.key == Key::up ? -1 : 1));
        return true;
    }
    const std::string before = typed_.text();
    const bool taken = typed_.press(press);
    if (typed_.text() != before) {
        find();
    }
    return taken;
}

} // namespace bellhand::desk
