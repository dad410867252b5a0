#include "skill/reason.h"

#include "drill/plan.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <utility>

namespace bellhand::skill {

namespace {

constexpr double kWorthSayingCents = 7.0;
constexpr std::size_t kNamedFailures = 2;

std::string played_when(double days) {
    if (days < 0.7) {
        return "played today";
    }
    const int whole = std::max(1, static_cast<int>(std::lround(days)));
    return "not played for " + std::to_string(whole) + (whole == 1 ? " day" : " days");
}

std::string on_crook(const Item& item) {
    return is_time(item) ? item_name(item)
                         : item_name(item) + " on " + drill::crook_at(item.transposition).label;
}

/// ", 3 flat, 2 attack from below": what failed in the tries that were tallied, most frequent first.
std::string what_failed(const Skill& skill, int failures) {
    std::map<drill::Fault, int> counts;
    for (const drill::Fault fault : failures_of(skill, failures)) {
        ++counts[fault];
    }
    std::vector<std::pair<drill::Fault, int>> order(counts.begin(), counts.end());
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) {
        return a.second > b.second;
    });
    std::string text;
    for (std::size_t i = 0; i < order.size() && i < kNamedFailures; ++i) {
        text += ", " + std::to_string(order[i].second) + " " + words::fault_kind(order[i].first);
    }
    return text;
}

} // namespace

std::string
reason_sentence(const Skills& skills, const Item& item, Reason reason, std::int64_t now_s) {
    if (reason == Reason::fresh) {
        const bool first = skills.empty();
        return "new: " + on_crook(item) +
               (first ? ", one of the notes that speak by themselves"
                      : ", next to notes that are secure");
    }
    const Skill& skill = skills.at(item);
    const Outlook expected = outlook(skill, now_s);
    const Tally tally = recent_tally(skill, kTallied);
    const bool all = static_cast<std::uint32_t>(tally.of) == skill.tries;
    std::string text = on_crook(item) + ": " + std::to_string(tally.good) + " of " +
                       (all ? "" : "the last ") + std::to_string(tally.of) + " right" +
                       what_failed(skill, tally.of - tally.good) + ", " +
                       (reason == Reason::due ? "but " : "") + played_when(expected.days_ago);
    const double sure = std::sqrt(skill.deviation_variance);
    if (std::abs(skill.deviation_cents) > std::max(kWorthSayingCents, 2.0 * sure)) {
        char cents[48];
        std::snprintf(cents,
                      sizeof cents,
                      ", usually %.0f cents %s",
                      std::abs(skill.deviation_cents),
                      skill.deviation_cents < 0.0 ? "flat" : "sharp");
        text += cents;
    }
    return text;
}

std::string with_companions(const std::vector<Item>& items) {
    std::string text;
    for (std::size_t i = 1; i < items.size(); ++i) {
        text += (i == 1                 ? "; with it "
                 : i + 1 < items.size() ? ", "
                                        : " and ") +
                item_name(items[i]);
    }
    return text;
}

} // namespace bellhand::skill
