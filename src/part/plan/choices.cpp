#include "part/plan/choices.h"

#include <algorithm>

namespace bellhand::part {

ChoiceChart::ChoiceChart(const horn::Tuning& tuning, const horn::HandResponse& response)
    : compass_(horn::usual_compass(tuning.crook)),
      response_(response),
      notes_(horn::crook_chart(tuning, response)) {}

Choice ChoiceChart::choice(const horn::PlayedNote& note, std::size_t way, horn::Hand hand) const {
    const horn::PlayedWay& played = note.ways[way];
    Choice choice;
    choice.way = played.way;
    choice.way.hand = choice.way.hand_to = hand;
    choice.lips_cents = played.lips_cents;
    if (played.way.hand != played.way.hand_to) {
        choice.lips_cents =
            played.needed_cents -
            horn::response_at(response_, played.way.partial, horn::closure_of(hand));
    }
    choice.evenness = horn::evenness_of(choice.way);
    choice.quarters = played.way.hand_out ? -1 : static_cast<int>(hand);
    choice.usual = way == 0;
    choice.outside = std::max({0,
                               compass_.lowest_partial - choice.way.partial,
                               choice.way.partial - compass_.highest_partial});
    return choice;
}

std::vector<Choice> ChoiceChart::choices(horn::Note written,
                                         const std::optional<PinnedHand>& pin) const {
    std::vector<Choice> list;
    const auto note = std::lower_bound(
        notes_.begin(), notes_.end(), written.number, [](const horn::PlayedNote& one, int number) {
            return one.written.number < number;
        });
    if (note == notes_.end() || note->written.number != written.number) {
        return list;
    }
    for (std::size_t way = 0; way < note->ways.size(); ++way) {
        const horn::HandWay& row = note->ways[way].way;
        for (const horn::Hand hand : horn::kHands) {
            const bool inside = hand >= row.hand && hand <= row.hand_to;
            const bool end = hand == row.hand || hand == row.hand_to;
            const bool allowed =
                pin ? hand == pin->hand && pin->partial.value_or(row.partial) == row.partial : end;
            if (inside && allowed) {
                list.push_back(choice(*note, way, hand));
            }
        }
    }
    return list;
}

} // namespace bellhand::part
