#include "part/plan/pins.h"

#include <array>
#include <charconv>

namespace bellhand::part {

namespace {

std::optional<int> whole_number(std::string_view text, int lowest, int highest) {
    int value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    const bool all = error == std::errc() && end == text.data() + text.size();
    return all && value >= lowest && value <= highest ? std::optional(value) : std::nullopt;
}

std::optional<horn::Hand> hand_written(std::string_view text) {
    constexpr std::array<std::string_view, 5> kFractions{"0", "1/4", "1/2", "3/4", "1"};
    for (const horn::Hand hand : horn::kHands) {
        if (text == horn::hand_sign(hand) || text == kFractions[static_cast<std::size_t>(hand)]) {
            return hand;
        }
    }
    return horn::hand_of(text);
}

} // namespace

Result<Pin> parse_pin(std::string_view text) {
    const auto refuse = [text] {
        return usage_error("\"" + std::string(text.substr(0, 40)) +
                           "\" is no pin: write the bar, a point, which note of the bar, and the "
                           "hand, such as 12.3=½ or 12.3=p12+ (o ¼ ½ ¾ +, with p and a partial "
                           "before it if that matters).");
    };
    const std::size_t equals = text.find('=');
    const std::size_t point = text.substr(0, equals).rfind('.');
    if (equals == std::string_view::npos || point == std::string_view::npos || point == 0) {
        return refuse();
    }
    Pin pin;
    pin.bar = text.substr(0, point);
    const auto in_bar = whole_number(text.substr(point + 1, equals - point - 1), 1, 10'000);
    std::string_view hand = text.substr(equals + 1);
    if (!hand.empty() && hand.front() == 'p') {
        const std::size_t digits = hand.find_first_not_of("0123456789", 1);
        pin.hand.partial = whole_number(hand.substr(1, digits - 1), 1, 24);
        if (!pin.hand.partial || digits == std::string_view::npos) {
            return refuse();
        }
        hand = hand.substr(digits);
    }
    const auto meant = hand_written(hand);
    if (!in_bar || !meant) {
        return refuse();
    }
    pin.in_bar = *in_bar;
    pin.hand.hand = *meant;
    return pin;
}

} // namespace bellhand::part
