#include "desk/pages/today_page.h"

#include "desk/sheets/sheet.h"
#include "trainer/tolerance.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

namespace bellhand::desk {

void TodayPage::enter() {
    const bool over =
        !done_.empty() && std::all_of(done_.begin(), done_.end(), [](bool done) { return done; });
    if (fresh_ && !over) {
        return;
    }
    tuning_ = session_.tuning();
    ask();
}

void TodayPage::ask() {
    fresh_ = true;
    auto plan = shelf_.plan(tuning_, minutes_);
    problem_ = plan ? std::string() : plan.error().message;
    plan_ = plan ? std::move(*plan) : skill::DayPlan{};
    done_.assign(plan_.blocks.size(), false);
    chosen_ = 0;
}

void TodayPage::begin() {
    RunWish wish;
    wish.first_of_plan = static_cast<std::size_t>(chosen_);
    wish.blocks.assign(plan_.blocks.begin() + chosen_, plan_.blocks.end());
    wishes_.run = std::move(wish);
}

KeyTable TodayPage::keys() {
    const int count = static_cast<int>(plan_.blocks.size());
    KeyTable table;
    if (count > 0) {
        table.push_back(on(' ', "begin", [this] { begin(); }).or_key(Key::enter));
        table.push_back(
            on_rows(count, chosen_, "where to begin", [this](int row) { chosen_ = row; }));
    }
    table.push_back(on('e', "all exercises", [this] { wishes_.sheet = Sheet::exercises; }));
    table.push_back(on_steps(Key::left, Key::right, "longer or shorter", [this](int step) {
        minutes_ = std::clamp(minutes_ + step * kStep_minutes, kLeast_minutes, kMost_minutes);
        ask();
    }));
    table.push_back(on('j', "how strictly", [this] { session_.judge_more_kindly(); }));
    return table;
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
