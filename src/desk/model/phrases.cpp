#include "desk/model/phrases.h"

#include <cmath>
#include <cstdio>

namespace bellhand::desk {

namespace {

int whole(double value) {
    return static_cast<int>(std::lround(value));
}

} // namespace

std::string signed_cents(double cents) {
    const int rounded = whole(cents);
    if (rounded == 0) {
        return "0";
    }
    return (rounded < 0 ? "−" : "+") + std::to_string(std::abs(rounded));
}

std::string within_cents(double cents) {
    return "±" + std::to_string(whole(cents));
}

std::string bend_words(horn::Note written) {
    const horn::ChartEntry* entry = horn::chart_entry(written);
    if (entry == nullptr || entry->ways.empty()) {
        return {};
    }
    const horn::HandWay& way = entry->ways.front();
    const int cents = whole(way.shift_cents);
    if (cents == 0) {
        return "as it is";
    }
    return std::to_string(std::abs(cents)) + (cents < 0 ? " cents lower" : " cents higher");
}

std::string hertz_text(double hz) {
    char text[32];
    const bool has_fraction = std::abs(hz - std::round(hz)) > 0.005;
    std::snprintf(text, sizeof text, has_fraction ? "%.1f" : "%.0f", hz);
    return text;
}

std::string note_letter(horn::Note note) {
    return horn::ascii_name(note).substr(0, 1);
}

std::string way_words(const horn::HandWay& way) {
    std::string words = horn::hand_label(way.hand);
    if (way.hand_to != way.hand) {
        const bool part = way.hand != horn::Hand::open;
        words = std::string(part ? horn::hand_sign(way.hand) : "open") + " to " +
                (way.hand_to == horn::Hand::full ? "full stop" : horn::hand_sign(way.hand_to));
    }
    if (way.hand_out) {
        words += ", drawn back";
    }
    if (way.lip) {
        words += ", lipped";
    }
    return words;
}

std::string hand_words(horn::Note written) {
    const horn::ChartEntry* entry = horn::chart_entry(written);
    return entry == nullptr || entry->ways.empty() ? std::string() : way_words(entry->ways.front());
}

std::string hand_signs(horn::Note written) {
    const horn::ChartEntry* entry = horn::chart_entry(written);
    if (entry == nullptr || entry->ways.empty()) {
        return {};
    }
    const horn::HandWay& way = entry->ways.front();
    std::string signs = horn::hand_sign(way.hand);
    if (way.hand_to != way.hand) {
        signs += std::string(" ") + horn::hand_sign(way.hand_to);
    }
    return signs;
}

} // namespace bellhand::desk
