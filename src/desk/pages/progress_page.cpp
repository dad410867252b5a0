#include "desk/pages/progress_page.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace bellhand::desk {

void ProgressPage::open(Shelf& shelf) {
    said_.clear();
    const std::string before = map() != nullptr ? map()->crook : std::string();
    auto read = shelf.look_back(range_);
    problem_ = read ? std::string() : read.error().message;
    data_ = read ? std::move(*read) : progress::Progress{};
    crook_ = 0;
    for (std::size_t i = 0; i < data_.maps.size(); ++i) {
        if (data_.maps[i].crook == before) {
            crook_ = static_cast<int>(i);
        }
    }
    read_trend(shelf);
}

void ProgressPage::read_trend(Shelf& shelf) {
    trend_.clear();
    if (map() == nullptr) {
        return;
    }
    auto read = shelf.trend(range_, map()->crook);
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

bool ProgressPage::press(const Press& press, Shelf& shelf) {
    if (press.key == Key::up || press.key == Key::down) {
        const int step = press.key == Key::up ? -1 : 1;
        const int wanted = std::clamp(static_cast<int>(range_) + step, 0, 2);
        if (wanted != static_cast<int>(range_)) {
            range_ = static_cast<progress::Range>(wanted);
            open(shelf);
        }
        return true;
    }
    if (press.key == Key::left || press.key == Key::right) {
        const int last = std::max(0, static_cast<int>(data_.maps.size()) - 1);
        crook_ = std::clamp(crook_ + (press.key == Key::left ? -1 : 1), 0, last);
        read_trend(shelf);
        return true;
    }
    if (is_letter(press, 'w') && map() != nullptr) {
        auto written = shelf.write_report(range_);
        problem_ = written ? std::string() : written.error().message;
        if (written) {
            report_ = std::move(*written);
            said_ = "Written, a page for any browser: " + report_->string();
        }
        return true;
    }
    if (is_letter(press, 'p') && report_) {
        copy_wish_ = report_->string();
        said_ = "Its path is on the clipboard.";
        return true;
    }
    return false;
}

std::optional<std::string> ProgressPage::take_copy_wish() {
    return std::exchange(copy_wish_, std::nullopt);
}

std::vector<KeyHint> ProgressPage::hints() const {
    std::vector<KeyHint> hints{hint(Key::down, "a day, a week, the whole log")};
    if (data_.maps.size() > 1) {
        hints.push_back(hint(Key::right, "another crook"));
    }
    if (map() != nullptr) {
        hints.push_back(hint('w', "write a page to send"));
    }
    if (report_) {
        hints.push_back(hint('p', "copy path"));
    }
    return hints;
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
