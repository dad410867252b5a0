#include "desk/model/ask_choice.h"

#include <algorithm>

namespace bellhand::desk {

namespace {

std::vector<hand::Intent> ways_of(horn::Note written) {
    std::vector<hand::Intent> ways;
    const auto add = [&ways](const hand::Intent& way) {
        const bool known = std::any_of(ways.begin(), ways.end(), [&](const hand::Intent& each) {
            return each.hand == way.hand && each.hand_to == way.hand_to;
        });
        if (!known) {
            ways.push_back(way);
        }
    };
    if (const horn::ChartEntry* entry = horn::chart_entry(written)) {
        for (const horn::HandWay& way : entry->ways) {
            add(hand::intent_of(way));
        }
    }
    for (const horn::Hand hand : horn::kHands) {
        hand::Intent way = asked_of(written);
        way.hand = way.hand_to = hand;
        add(way);
    }
    return ways;
}

/// The place after `at` in a ring of so many.
std::size_t stepped(std::size_t at, int step, std::size_t count) {
    const auto size = static_cast<std::ptrdiff_t>(count);
    return static_cast<std::size_t>((static_cast<std::ptrdiff_t>(at) + step % size + size) % size);
}

} // namespace

AskChoice::AskChoice(const Asked& from) : asked_(from) {
    const horn::ChartEntry* const known = horn::chart_entry(from.written);
    if (known == nullptr) {
        const auto chart = horn::hand_chart();
        asked_.written = from.written.number < chart.front().written.number ? chart.front().written
                                                                            : chart.back().written;
        asked_.way = asked_of(asked_.written);
    }
}

void AskChoice::step_note(int step) {
    const auto chart = horn::hand_chart();
    const auto place = std::find_if(chart.begin(), chart.end(), [&](const horn::ChartEntry& each) {
        return each.written.number >= asked_.written.number;
    });
    const std::ptrdiff_t to = std::clamp<std::ptrdiff_t>(
        place - chart.begin() + step, 0, static_cast<std::ptrdiff_t>(chart.size()) - 1);
    asked_.written = chart[static_cast<std::size_t>(to)].written;
    asked_.way = asked_of(asked_.written);
}

void AskChoice::step_hand(int step) {
    const std::vector<hand::Intent> ways = ways_of(asked_.written);
    const auto now = std::find_if(ways.begin(), ways.end(), [&](const hand::Intent& way) {
        return way.hand == asked_.way.hand && way.hand_to == asked_.way.hand_to;
    });
    const auto at = now == ways.end() ? 0 : static_cast<std::size_t>(now - ways.begin());
    asked_.way = ways[stepped(at, step, ways.size())];
}

} // namespace bellhand::desk
