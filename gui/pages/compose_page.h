#pragma once

#include "gui/homework_shelf.h"
#include "gui/pages/key_hint.h"
#include "homework/teacher.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::gui {

/// A homework being composed. Every change is kept as the draft, can be undone and done again.
class ComposePage {
public:
    /// `exercises`: those to choose from.
    void begin(const homework::Homework& draft, std::vector<drill::Exercise> exercises);
    /// Takes every key while it is open.
    void press(const Press& press, HomeworkShelf& shelf);

    [[nodiscard]] const homework::Homework& now() const noexcept { return draft_.now(); }
    /// The teacher left it, told once; the draft stays.
    [[nodiscard]] bool take_left() noexcept;
    /// It was saved as a file, told once.
    [[nodiscard]] std::optional<std::filesystem::path> take_saved();
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] std::vector<KeyHint> hints() const;
    /// Text is being written: every key belongs to it.
    [[nodiscard]] bool writing() const noexcept { return false; }

private:
    homework::Draft draft_;
    std::vector<drill::Exercise> exercises_;
    bool left_ = false;
    std::optional<std::filesystem::path> saved_;
    std::string problem_;
};

} // namespace bellhand::gui
