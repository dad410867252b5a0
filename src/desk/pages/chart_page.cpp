#include "desk/pages/chart_page.h"

#include <algorithm>

namespace bellhand::desk {

void ChartPage::follow() {
    if (!made_for_ || !(*made_for_ == session_.tuning())) {
        made_for_ = session_.tuning();
        notes_ = horn::crook_chart(*made_for_,
                                   session_.players_horn()
                                       .response_on(*made_for_)
                                       .value_or(horn::hand_response(*made_for_)));
        std::erase_if(notes_, [](const horn::PlayedNote& note) { return note.ways.empty(); });
    }
    const auto& shown = session_.view().note();
    if (!shown || shown->shown_since_s == followed_since_s_) {
        return;
    }
    followed_since_s_ = shown->shown_since_s;
    const auto place =
        std::find_if(notes_.begin(), notes_.end(), [&](const horn::PlayedNote& note) {
            return note.written.number == shown->note.written.number;
        });
    if (place != notes_.end()) {
        chosen_ = static_cast<int>(place - notes_.begin());
    }
}

void ChartPage::choose(int index) noexcept {
    chosen_ = std::clamp(index, 0, std::max(0, static_cast<int>(notes_.size()) - 1));
}

KeyTable ChartPage::keys() {
    return {on_steps(
        Key::left, Key::right, "another note", [this](int step) { choose(chosen_ + step); })};
}

} // namespace bellhand::desk
