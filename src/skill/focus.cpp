#include "skill/focus.h"

#include "horn/compass.h"

#include <algorithm>
#include <cstdlib>

namespace bellhand::skill {

namespace {

constexpr double kOwnLengthQuarters = 4.0;
constexpr int kWarmUpNumbers[] = {60, 64, 67, 72}; // partials 4, 5, 6, 8
constexpr int kFurthestNeighbour = 7;              // semitones

drill::Step note_step(int number, horn::Hand hand, double quarters) {
    drill::Step step;
    step.written = horn::usual_spelling(number);
    const horn::ChartEntry* entry = horn::chart_entry(*step.written);
    if (entry == nullptr || entry->usual().hand != hand) {
        step.hand = hand;
    }
    step.quarters = quarters;
    return step;
}

drill::Step rest_step(double quarters) {
    drill::Step step;
    step.quarters = quarters;
    return step;
}

/// The nearest plainly open note in `direction`; empty when it is far or outside what the crook's parts ask for.
std::optional<int> open_neighbour(int number, int direction, const horn::Crook& crook) {
    const horn::Compass compass = horn::usual_compass(crook);
    for (int away = 1; away <= kFurthestNeighbour; ++away) {
        const horn::ChartEntry* entry =
            horn::chart_entry(horn::usual_spelling(number + direction * away));
        if (entry == nullptr) {
            continue;
        }
        const horn::HandWay& way = entry->usual();
        if (way.hand == horn::Hand::open && !way.lip && !way.poor && !way.hand_out &&
            way.partial >= compass.lowest_partial && way.partial <= compass.highest_partial) {
            return number + direction * away;
        }
    }
    return std::nullopt;
}

/// Two bars on one item: eight quarters.
void add_item(std::vector<drill::Step>& steps, const Item& item, const horn::Crook& crook) {
    if (item.from_number) {
        for (int turn = 0; turn < 2; ++turn) {
            steps.push_back(note_step(*item.from_number, item.from_hand, 1.0));
            steps.push_back(note_step(item.number, item.hand, 1.0));
        }
        steps.push_back(note_step(*item.from_number, item.from_hand, 1.0));
        steps.push_back(note_step(item.number, item.hand, 2.0));
        steps.push_back(rest_step(1.0));
        return;
    }
    const auto below = open_neighbour(item.number, -1, crook);
    const auto above = open_neighbour(item.number, +1, crook);
    const int first = below.value_or(above.value_or(item.number));
    const int second = above.value_or(first);
    steps.push_back(note_step(first, horn::Hand::open, 1.0));
    steps.push_back(note_step(item.number, item.hand, 1.0));
    steps.push_back(note_step(second, horn::Hand::open, 1.0));
    steps.push_back(note_step(item.number, item.hand, 1.0));
    steps.push_back(note_step(item.number, item.hand, 3.0));
    steps.push_back(rest_step(1.0));
}

bool playable(const Item& item) {
    const auto known = [](int number) {
        return number >= 0 && horn::chart_entry(horn::usual_spelling(number)) != nullptr;
    };
    return known(item.number) && (!item.from_number || known(*item.from_number));
}

std::string id_of(const Item& item, const horn::Crook& crook) {
    std::string id = "focus-" + std::string(crook.id);
    if (item.from_number) {
        id += "-" + horn::ascii_name(horn::usual_spelling(*item.from_number)) + "-to";
    }
    id += "-" + horn::ascii_name(horn::usual_spelling(item.number)) + "-" + hand_id(item.hand);
    std::string plain;
    for (const char c : id) {
        if (c == '#') {
            plain += "-sharp";
        } else if (c >= 'A' && c <= 'Z') {
            plain += static_cast<char>(c - 'A' + 'a');
        } else {
            plain += c;
        }
    }
    return plain;
}

} // namespace

double length_s(const drill::Exercise& exercise) noexcept {
    double quarters = 0.0;
    for (const drill::Step& step : exercise.steps) {
        quarters += step.quarters > 0.0 ? step.quarters : kOwnLengthQuarters;
    }
    const double quarter_s =
        exercise.quarters_per_minute > 0.0 ? 60.0 / exercise.quarters_per_minute : kFreeQuarterS;
    return quarters * quarter_s;
}

drill::Exercise warm_up(const horn::Crook& crook) {
    drill::Exercise exercise;
    exercise.id = "warm-up";
    exercise.title = "Long notes to warm up";
    exercise.purpose = "Wakes the lips gently, on notes that speak by themselves.";
    exercise.family = "long tones";
    exercise.crooks = {crook.transposition};
    for (const int number : kWarmUpNumbers) {
        drill::Step step = note_step(number, horn::Hand::open, 6.0);
        step.dynamic = drill::Dynamic::p;
        step.hairpin = drill::Hairpin::growing_and_fading;
        exercise.steps.push_back(step);
        exercise.steps.push_back(rest_step(2.0));
    }
    return exercise;
}

drill::Exercise time_exercise(const horn::Crook& crook) {
    constexpr double kTempo = 72.0;
    constexpr double kFigures[] = {1.0,
                                   1.0,
                                   1.0,
                                   1.0,
                                   0.5,
                                   0.5,
                                   1.0,
                                   0.5,
                                   0.5,
                                   1.0,
                                   1.5,
                                   0.5,
                                   1.0,
                                   1.0,
                                   2.0,
                                   1.0}; // the last one is a rest
    drill::Exercise exercise;
    exercise.id = "keeping-time";
    exercise.title = "Keeping time on open notes";
    exercise.purpose =
        "Quarters, eighths and a dotted figure with the metronome; nothing else is asked.";
    exercise.family = "today";
    exercise.crooks = {crook.transposition};
    exercise.quarters_per_minute = kTempo;
    constexpr std::size_t kNotes = std::size(kFigures) - 1;
    for (std::size_t i = 0; i < kNotes; ++i) {
        exercise.steps.push_back(note_step(kWarmUpNumbers[i % 3], horn::Hand::open, kFigures[i]));
    }
    exercise.steps.push_back(rest_step(kFigures[kNotes]));
    return exercise;
}

drill::Exercise focus_exercise(std::span<const Item> items, const horn::Crook& crook) {
    drill::Exercise exercise;
    exercise.family = "today";
    exercise.crooks = {crook.transposition};
    for (const Item& item : items) {
        if (!playable(item)) {
            continue;
        }
        if (exercise.id.empty()) {
            exercise.id = id_of(item, crook);
            exercise.title = item_name(item);
            exercise.title[0] = static_cast<char>(std::toupper(exercise.title[0]));
            exercise.title += " and what lies around it";
            exercise.purpose = "Brings " + item_name(item) + " home from both sides.";
        }
        add_item(exercise.steps, item, crook);
    }
    return exercise;
}

} // namespace bellhand::skill
