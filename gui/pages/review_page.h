#pragma once

#include "gui/homework_shelf.h"
#include "gui/pages/key_hint.h"
#include "homework/teacher.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::gui {

/// A homework that came back: what went wrong where, to listen to and to comment on.
class ReviewPage {
public:
    void open(const homework::Filed& filed);
    /// Takes every key while it is open.
    void press(const Press& press, HomeworkShelf& shelf);
    /// Once a frame.
    void refresh(HomeworkShelf& shelf);

    [[nodiscard]] const homework::Homework& now() const noexcept { return filed_.homework; }
    [[nodiscard]] const std::filesystem::path& file() const noexcept { return filed_.file; }
    /// The teacher left it, told once.
    [[nodiscard]] bool take_left() noexcept;
    /// The homework that follows is to be composed from this draft, told once.
    [[nodiscard]] std::optional<homework::Homework> take_next();
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] std::vector<KeyHint> hints() const;
    /// Text is being written: every key belongs to it.
    [[nodiscard]] bool writing() const noexcept { return false; }

private:
    homework::Filed filed_;
    bool left_ = false;
    std::optional<homework::Homework> next_;
    std::string problem_;
};

} // namespace bellhand::gui
