#include "gui/pages/review_page.h"

#include <utility>

namespace bellhand::gui {

void ReviewPage::open(const homework::Filed& filed) {
    *this = ReviewPage();
    filed_ = filed;
}

void ReviewPage::press(const Press& press, HomeworkShelf& /*shelf*/) {
    if (press.key == Key::escape) {
        left_ = true;
    } else if (is_letter(press, 'n')) {
        next_ = homework::next_after(filed_.homework);
    }
}

void ReviewPage::refresh(HomeworkShelf& /*shelf*/) {}

bool ReviewPage::take_left() noexcept {
    return std::exchange(left_, false);
}

std::optional<homework::Homework> ReviewPage::take_next() {
    return std::exchange(next_, std::nullopt);
}

std::vector<KeyHint> ReviewPage::hints() const {
    return {hint('n', "set what follows"), hint(Key::escape, "back")};
}

} // namespace bellhand::gui
