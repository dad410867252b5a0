#include "gui/pages/compose_page.h"

#include <utility>

namespace bellhand::gui {

void ComposePage::begin(const homework::Homework& draft, std::vector<drill::Exercise> exercises) {
    *this = ComposePage();
    draft_ = homework::Draft(draft);
    exercises_ = std::move(exercises);
}

void ComposePage::press(const Press& press, HomeworkShelf& shelf) {
    if (press.key == Key::escape) {
        left_ = true;
    } else if (is_letter(press, 's')) {
        auto saved = shelf.set(draft_.now());
        if (saved) {
            saved_ = std::move(*saved);
        } else {
            problem_ = saved.error().message;
        }
    }
}

bool ComposePage::take_left() noexcept {
    return std::exchange(left_, false);
}

std::optional<std::filesystem::path> ComposePage::take_saved() {
    return std::exchange(saved_, std::nullopt);
}

std::vector<KeyHint> ComposePage::hints() const {
    return {hint('s', "save the file"), hint(Key::escape, "back; the draft stays")};
}

} // namespace bellhand::gui
