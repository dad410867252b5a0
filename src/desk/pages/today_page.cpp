#include "desk/pages/today_page.h"

#include "trainer/tolerance.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

namespace bellhand::desk {

void TodayPage::open(Shelf& shelf, const horn::Tuning& tuning) {
    const bool over =
        !done_.empty() && std::all_of(done_.begin(), done_.end(), [](bool done) { return done; });
    if (fresh_ && !over) {
        return;
    }
    tuning_ = tuning;
    ask(shelf);
}

void TodayPage::ask(Shelf& shelf) {
    fresh_ = true;
    auto plan = shelf.plan(tuning_, minutes_);
    problem_ = plan ? std::string() : plan.error().message;
    plan_ = plan ? std::move(*plan) : skill::DayPlan{};
    done_.assign(plan_.blocks.size(), false);
    chosen_ = 0;
}

bool TodayPage::press(const Press& press, Shelf& shelf) {
    const int count = static_cast<int>(plan_.blocks.size());
    if (move_choice(press, count, chosen_)) {
        return true;
    }
    if (press.key == Key::left || press.key == Key::right) {
        const double step = press.key == Key::left ? -kStep_minutes : kStep_minutes;
        minutes_ = std::clamp(minutes_ + step, kLeast_minutes, kMost_minutes);
        ask(shelf);
        return true;
    }
    if (press.character == U' ' || press.key == Key::enter) {
        begin_ = count > 0;
        return true;
    }
    return false;
}

void TodayPage::mark_done(std::size_t block) {
    if (block < done_.size()) {
        done_[block] = true;
        chosen_ = std::min(static_cast<int>(block) + 1, static_cast<int>(done_.size()) - 1);
    }
}

bool TodayPage::done(std::size_t block) const noexcept {
    return block < done_.size() && done_[block];
}

bool TodayPage::take_begin() noexcept {
    return std::exchange(begin_, false);
}

std::vector<KeyHint> TodayPage::hints() const {
    std::vector<KeyHint> hints;
    if (!plan_.blocks.empty()) {
        hints.push_back(hint(' ', "begin"));
    }
    hints.push_back(hint('e', "all exercises"));
    hints.push_back(hint(Key::right, "longer or shorter"));
    hints.push_back(hint('j', "how strictly"));
    return hints;
}

std::string strictness_words(double tolerance_factor) {
    char words[128];
    std::snprintf(words,
                  sizeof words,
                  "judged %s: open %.3g, partly closed %.3g, stopped %.3g cents either way",
                  tolerance_factor < 1.0   ? "more strictly than usual"
                  : tolerance_factor > 1.0 ? "more kindly than usual"
                                           : "as usual",
                  tolerance_factor * trainer::tolerance_cents(horn::Hand::open),
                  tolerance_factor * trainer::tolerance_cents(horn::Hand::half),
                  tolerance_factor * trainer::tolerance_cents(horn::Hand::full));
    return words;
}

std::string plan_words(const skill::DayPlan& plan) {
    return span_words(plan.play_s) + " of playing, " + span_words(plan.rest_s) + " of rest";
}

std::string span_words(double seconds) {
    const auto whole = static_cast<int>(std::lround(seconds));
    if (whole < 60) {
        return std::to_string(whole) + " s";
    }
    const int halves = static_cast<int>(std::lround(seconds / 30.0));
    return std::to_string(halves / 2) + (halves % 2 == 0 ? " min" : "½ min");
}

} // namespace bellhand::desk
