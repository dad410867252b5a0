#include "desk/pages/progress_page.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace bellhand::desk {

void ProgressPage::enter() {
    said_.clear();
    const std::string before = map() != nullptr ? map()->crook : std::string();
    auto read = shelf_.look_back(range_);
    problem_ = read ? std::string() : read.error().message;
    data_ = read ? std::move(*read) : progress::Progress{};
    crook_ = 0;
    for (std::size_t i = 0; i < data_.maps.size(); ++i) {
        if (data_.maps[i].crook == before) {
            crook_ = static_cast<int>(i);
        }
    }
    read_trend();
}

void ProgressPage::read_trend() {
    trend_.clear();
    if (map() == nullptr) {
        return;
    }
    auto read = shelf_.trend(range_, map()->crook);
    if (read) {
        trend_ = std::move(*read);
    } else {
        problem_ = read.error().message;
    }
}

const progress::CrookMap* ProgressPage::map() const noexcept {
    const auto at = static_cast<std::size_t>(crook_);
    return at < data_.maps.size() ? &data_.maps[at] : nullptr;
}

std::vector<progress::Transition> ProgressPage::hardest() const {
    std::vector<progress::Transition> of_crook;
    if (map() != nullptr) {
        std::copy_if(data_.hardest.begin(),
                     data_.hardest.end(),
                     std::back_inserter(of_crook),
                     [this](const auto& each) { return each.crook == map()->crook; });
    }
    return of_crook;
}

void ProgressPage::look_at(progress::Range range) {
    if (range != range_) {
        range_ = range;
        enter();
    }
}

void ProgressPage::choose(int crook) {
    crook_ = std::clamp(crook, 0, std::max(0, static_cast<int>(data_.maps.size()) - 1));
    read_trend();
}

void ProgressPage::write_report() {
    auto written = shelf_.write_report(range_);
    problem_ = written ? std::string() : written.error().message;
    if (written) {
        report_ = std::move(*written);
        said_ = "Written, a page for any browser: " + report_->string();
        wishes_.saved = report_;
    }
}

KeyTable ProgressPage::keys() {
    KeyTable table;
    if (map() != nullptr) {
        table.push_back(
            on('s', "save a page to send", [this] { write_report(); }).at(Foot::always));
    }
    table.push_back(on_steps(Key::up, Key::down, "a day, a week, the whole log", [this](int step) {
        look_at(static_cast<progress::Range>(std::clamp(static_cast<int>(range_) + step, 0, 2)));
    }));
    if (data_.maps.size() > 1) {
        table.push_back(on_steps(
            Key::left, Key::right, "another crook", [this](int step) { choose(crook_ + step); }));
    }
    if (report_) {
        table.push_back(on_control('c', "copy path", [this] {
            wishes_.clipboard = report_->string();
            said_ = "Its path is on the clipboard.";
        }));
    }
    return table;
}

const char* range_words(progress::Range range) noexcept {
    switch (range) {
    case progress::Range::day:
        return "today";
    case progress::Range::week:
        return "the last seven days";
    default:
        return "the whole log";
    }
}

} // namespace bellhand::desk
