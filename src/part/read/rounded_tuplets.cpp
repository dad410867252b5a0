#include "part/read/rounded_tuplets.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace bellhand::part {

namespace {

constexpr double kSame = 1e-6; // quarters

int ticks_of(double quarters) {
    return static_cast<int>(std::llround(quarters * kQuarter));
}

double printed_quarters(const Value& value) {
    const double undotted = 4.0 * std::exp2(-value.halvings);
    return undotted * (2.0 - std::exp2(-value.dots)) * value.normal / value.actual;
}

} // namespace

void RoundedTuplets::add(
    const Note& note, std::size_t index, double start, double length, double divisions) {
    Given given{index, start, length, length};
    const bool tuplet = note.value && note.value->actual != note.value->normal;
    if (tuplet && !note.grace) {
        const double printed = printed_quarters(*note.value);
        const double off = std::fabs(printed - length);
        if (off > kSame && off * divisions < 1.0 - kSame) {
            given.printed = printed;
            any_ = true;
        }
    }
    bar_.push_back(given);
}

void RoundedTuplets::settle(Music& music, double end) {
    const std::vector<Given> notes = std::exchange(bar_, {});
    if (!std::exchange(any_, false)) {
        return;
    }
    // Within a voice a note begins where the one before ends.
    struct Line {
        double given_end = -1.0;
        double end = 0.0;
        double start = 0.0; ///< of the newest note that is no chord note
    };
    std::map<std::pair<int, int>, Line> lines;
    std::map<int, int> moved; // ticks, as given and as they are
    double given_last = 0.0;
    double last = 0.0;
    for (const Given& given : notes) {
        Note& note = music.notes[given.index];
        Line& line = lines[{note.staff_of_part, note.voice}];
        if (!note.chord) {
            line.start = std::fabs(given.start - line.given_end) < kSame ? line.end : given.start;
            line.given_end = given.start + given.length;
            line.end = line.start + given.printed;
        }
        moved.emplace(note.at.tick, ticks_of(line.start));
        note.at.tick = ticks_of(line.start);
        note.ticks = note.grace ? 0 : ticks_of(line.start + given.printed) - note.at.tick;
        given_last = std::max(given_last, line.given_end);
        last = std::max(last, line.end);
    }
    const int bar = static_cast<int>(music.bars.size()) - 1;
    if (end < given_last + kSame) { // nothing but these notes tells where the bar ends
        music.bars.back().ticks = ticks_of(last);
    }
    const auto move = [&](Place& place) {
        const auto to = moved.find(place.tick);
        if (place.bar == bar && to != moved.end()) {
            place.tick = to->second;
        }
    };
    for (DynamicMark& mark : music.dynamics) {
        move(mark.at);
    }
    for (Words& words : music.words) {
        move(words.at);
    }
    for (Hairpin& hairpin : music.hairpins) {
        move(hairpin.from);
        move(hairpin.to);
    }
}

} // namespace bellhand::part
