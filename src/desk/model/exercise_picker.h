#pragma once

#include "desk/press.h"
#include "desk/text_entry.h"
#include "drill/exercise.h"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// Finding an exercise: what is typed narrows the list to those whose title, family, purpose or id holds every word of it.
class ExercisePicker {
public:
    explicit ExercisePicker(std::vector<drill::Exercise> exercises = {});

    /// Typing and moving. Enter and Escape are left to the caller; true when the key was taken.
    bool press(const Press& press);
    void choose(int row) noexcept;
    /// Everything is listed again.
    void clear();

    [[nodiscard]] const TextEntry& typed() const noexcept { return typed_; }
    [[nodiscard]] int rows() const noexcept { return static_cast<int>(found_.size()); }
    [[nodiscard]] int chosen() const noexcept { return chosen_; }
    [[nodiscard]] const drill::Exercise& row(int row) const {
        return exercises_[found_[static_cast<std::size_t>(row)]];
    }
    /// Null when nothing is found.
    [[nodiscard]] const drill::Exercise* exercise() const {
        return found_.empty() ? nullptr : &row(chosen_);
    }

private:
    void find();

    std::vector<drill::Exercise> exercises_;
    std::vector<std::size_t> found_;
    TextEntry typed_;
    int chosen_ = 0;
};

} // namespace bellhand::desk
