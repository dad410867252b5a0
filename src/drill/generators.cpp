#include "drill/generators.h"

#include "drill/plan.h"
#include "horn/compass.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>

namespace bellhand::drill {

namespace {

using horn::Crook;
using horn::Hand;

/// SplitMix64 (Steele, Lea and Flood 2014): the same order on every machine.
class Chance {
public:
    explicit Chance(std::uint64_t seed) : state_(seed) {}
    /// 0 to `below` - 1.
    std::size_t choose(std::size_t below) {
        state_ += 0x9E3779B97F4A7C15ULL;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
        return static_cast<std::size_t>((z ^ (z >> 31U)) % below);
    }

private:
    std::uint64_t state_;
};

Exercise named(const char* id, const char* title, const char* purpose, const char* family) {
    Exercise exercise;
    exercise.id = id;
    exercise.title = title;
    exercise.purpose = purpose;
    exercise.family = family;
    return exercise;
}

Step note(horn::Note written, double quarters) {
    Step step;
    step.written = written;
    step.quarters = quarters;
    return step;
}

Step open_partial(int partial, double quarters) {
    Step step = note(horn::nearest_written(partial), quarters);
    step.partial = partial;
    step.hand = Hand::open;
    return step;
}

Step slur_to(Step step) {
    step.slurred = true;
    return step;
}

void rest(Exercise& exercise, double quarters) {
    Step silence;
    silence.quarters = quarters;
    exercise.steps.push_back(silence);
}

bool in_compass(const Crook& crook, int partial) {
    const horn::Compass compass = horn::usual_compass(crook);
    return partial >= compass.lowest_partial && partial <= compass.highest_partial;
}

/// Open partials in tune with what is written: no false ones.
std::vector<int> true_partials(const Crook& crook, int from, int to) {
    std::vector<int> partials;
    for (const int partial : {2, 3, 4, 5, 6, 8, 9, 10, 12, 15, 16}) {
        if (partial >= from && partial <= to && in_compass(crook, partial)) {
            partials.push_back(partial);
        }
    }
    return partials;
}

/// The usual way of a written note has this hand, in the crook's compass and not known as poor.
bool has_hand(const Crook& crook, const horn::ChartEntry& entry, Hand least) {
    const horn::HandWay& way = entry.usual();
    return way.hand_to >= least && !way.poor && !way.lip && in_compass(crook, way.partial);
}

Step semitone_from(int partial, int semitones, double quarters) {
    return note(horn::usual_spelling(horn::nearest_written(partial).number + semitones), quarters);
}

} // namespace

Exercise long_tones(const Crook& crook, int quarters) {
    Exercise exercise = named("long-tones",
                              "Long tones",
                              "Breath, lips and loudness under control at one pitch.",
                              "long tones");
    exercise.quarters_per_minute = 60.0;
    for (const int partial : true_partials(crook, 3, 10)) {
        Step step = open_partial(partial, quarters);
        step.hairpin = Hairpin::growing_and_fading;
        exercise.steps.push_back(step);
        rest(exercise, quarters);
    }
    return exercise;
}

Exercise hand_pairs(const Crook& crook, int partial) {
    Exercise exercise =
        named("hand-pairs",
              "Open, half, stopped",
              "Open notes softened and stopped ones supported, until they are alike.",
              "hand pairs");
    exercise.quarters_per_minute = 60.0;
    exercise.even = true;
    // Partials with a half-stopped note a semitone below and a stopped one above.
    constexpr std::array kAround{4, 6, 8, 9};
    const int nearest = *std::min_element(kAround.begin(), kAround.end(), [&](int a, int b) {
        return std::abs(a - partial) < std::abs(b - partial);
    });
    const int around = in_compass(crook, nearest + 1) ? nearest : 6;
    Step stopped = semitone_from(around, 1, 2.0);
    stopped.partial = around + 1; // the branch that comes down to just above the partial
    stopped.hand = Hand::full;
    for (const bool joined : {false, true}) {
        exercise.steps.push_back(open_partial(around, 2.0));
        for (const Step& step : {semitone_from(around, -1, 2.0),
                                 open_partial(around, 2.0),
                                 stopped,
                                 open_partial(around, 4.0)}) {
            exercise.steps.push_back(joined ? slur_to(step) : step);
        }
        rest(exercise, 4.0);
    }
    return exercise;
}

Exercise stopped_scale(const Crook& crook) {
    Exercise exercise = named("stopped-scale",
                              "Stopped scale",
                              "Full stops on every partial: one hand, one colour.",
                              "scales");
    exercise.quarters_per_minute = 60.0;
    exercise.even = true;
    const horn::Compass compass = horn::usual_compass(crook);
    std::vector<Step> rising;
    // The full stop of partial n + 1 sounds a semitone above partial n.
    for (int below = std::max(3, compass.lowest_partial);
         below < std::min(10, compass.highest_partial);
         ++below) {
        if (below == 7) {
            continue; // would land a third of a semitone low
        }
        Step step = semitone_from(below, 1, 1.0);
        step.partial = below + 1;
        step.hand = Hand::full;
        rising.push_back(step);
    }
    exercise.steps = rising;
    exercise.steps.insert(exercise.steps.end(), rising.rbegin() + 1, rising.rend());
    exercise.steps.back().quarters = 3.0;
    return exercise;
}

Exercise chromatic_scale(const Crook& crook, horn::Note from, horn::Note to) {
    Exercise exercise = named(
        "chromatic-scale", "Chromatic scale", "Every hand position in turn, evenly.", "scales");
    exercise.quarters_per_minute = 72.0;
    exercise.even = true;
    std::vector<Step> rising;
    for (int number = from.number; number <= to.number; ++number) {
        const horn::ChartEntry* const entry = horn::chart_entry(horn::usual_spelling(number));
        if (entry != nullptr && in_compass(crook, entry->usual().partial)) {
            rising.push_back(note(entry->written, 1.0));
        }
    }
    if (rising.empty()) { // nothing of it lies on this crook: what does
        rising.push_back(open_partial(4, 1.0));
    }
    exercise.steps = rising;
    exercise.steps.insert(exercise.steps.end(), rising.rbegin() + 1, rising.rend());
    exercise.steps.back().quarters = 2.0;
    return exercise;
}

Exercise cold_partials(const Crook& crook, int notes, std::uint64_t seed) {
    Exercise exercise =
        named("cold-partials",
              "Partials cold",
              "The ear hears the note before the lips try it: a miss is the neighbour.",
              "partials");
    exercise.quarters_per_minute = 60.0;
    const std::vector<int> partials = true_partials(crook, 4, 12);
    Chance chance(seed);
    std::size_t last = partials.size();
    for (int i = 0; i < notes; ++i) {
        std::size_t at = chance.choose(partials.size() - (last < partials.size() ? 1 : 0));
        at += last <= at ? 1U : 0U; // never the same twice in a row
        last = at;
        rest(exercise, 2.0);
        exercise.steps.push_back(open_partial(partials[at], 2.0));
    }
    return exercise;
}

Exercise false_partials(const Crook& crook, FalseTarget target) {
    Exercise exercise =
        named(target == FalseTarget::tube ? "false-partials-tube" : "false-partials-tempered",
              target == FalseTarget::tube ? "False partials as the tube has them"
                                          : "False partials brought into tune",
              target == FalseTarget::tube
                  ? "To know where 7, 11, 13 and 14 lie before hand and lips help."
                  : "Hand and lips bring 7, 11, 13 and 14 to where the music needs them.",
              "false partials");
    exercise.quarters_per_minute = 60.0;
    for (const int partial : {7, 11, 13, 14}) {
        if (!in_compass(crook, partial + 1)) {
            continue;
        }
        Step middle = open_partial(partial, 2.0);
        if (target == FalseTarget::tube) {
            middle.target_offset_cents = -horn::shift_from_partial_cents(*middle.written, partial);
        } else {
            const horn::ChartEntry* const entry = horn::chart_entry(*middle.written);
            middle = note(entry->written, 2.0);
        }
        const int below = partial == 14 ? 12 : partial - 1;
        const int above = partial == 13 ? 15 : partial + 1;
        exercise.steps.push_back(open_partial(below, 2.0));
        exercise.steps.push_back(middle);
        exercise.steps.push_back(open_partial(in_compass(crook, above) ? above : below, 2.0));
        exercise.steps.push_back(middle);
        rest(exercise, 4.0);
    }
    return exercise;
}

Exercise lip_slurs(const Crook& crook) {
    Exercise exercise = named("lip-slurs",
                              "Lip slurs",
                              "From partial to partial by the lips alone, without a bump.",
                              "slurs");
    exercise.quarters_per_minute = 72.0;
    const std::vector<int> partials = true_partials(crook, 3, 12);
    for (std::size_t i = 0; i + 1 < partials.size(); ++i) {
        const int low = partials[i];
        const int high = partials[i + 1];
        exercise.steps.push_back(open_partial(low, 1.0));
        exercise.steps.push_back(slur_to(open_partial(high, 1.0)));
        exercise.steps.push_back(slur_to(open_partial(low, 1.0)));
        exercise.steps.push_back(slur_to(open_partial(high, 1.0)));
        if (i + 2 < partials.size()) {
            exercise.steps.push_back(slur_to(open_partial(partials[i + 2], 1.0)));
            exercise.steps.push_back(slur_to(open_partial(high, 1.0)));
        }
        exercise.steps.push_back(slur_to(open_partial(low, 2.0)));
        rest(exercise, i + 2 < partials.size() ? 4.0 : 2.0);
    }
    return exercise;
}

Exercise lip_trills(const Crook& crook) {
    Exercise exercise = named("lip-trills",
                              "Lip trills",
                              "Loose lips high up, where the partials lie a tone apart.",
                              "trills");
    exercise.quarters_per_minute = 60.0;
    for (const auto& [low, high] : {std::pair{8, 9}, {9, 10}, {11, 12}}) {
        if (!in_compass(crook, high)) {
            continue;
        }
        Step trill = open_partial(low, 4.0);
        trill.manner = Manner::lip_trill;
        trill.other = horn::nearest_written(high);
        if (low == 11) {
            trill.target_offset_cents = -horn::shift_from_partial_cents(*trill.written, low);
        }
        exercise.steps.push_back(trill);
        rest(exercise, 4.0);
    }
    return exercise;
}

Exercise hand_trills(const Crook& crook) {
    Exercise exercise = named(
        "hand-trills", "Hand trills", "A quick hand that leaves breath and lips alone.", "trills");
    exercise.quarters_per_minute = 60.0;
    for (const int partial : {4, 6, 8, 10}) {
        if (!in_compass(crook, partial)) {
            continue;
        }
        Step trill = open_partial(partial, 4.0);
        trill.manner = Manner::hand_trill;
        trill.other = horn::usual_spelling(trill.written->number - 1);
        exercise.steps.push_back(trill);
        rest(exercise, 4.0);
    }
    return exercise;
}

Exercise slow_closings(const Crook& crook) {
    Exercise exercise = named("slow-closings",
                              "Slow closing",
                              "The hand closes slowly: a smooth fall without a jump.",
                              "hand");
    for (const int partial : true_partials(crook, 4, 10)) {
        Step step = open_partial(partial, 6.0);
        step.manner = Manner::slow_closing;
        exercise.steps.push_back(step);
        rest(exercise, 4.0);
    }
    return exercise;
}

Exercise balance(const Crook& crook) {
    Exercise exercise =
        named("balance",
              "Quiet horn, moving hand",
              "The hand alone moves, slowly: horn, arm and lips stay as in the long "
              "tone before it.",
              kBalanceFamily);
    for (const int partial : true_partials(crook, 4, 6)) {
        exercise.steps.push_back(open_partial(partial, 6.0));
        rest(exercise, 4.0);
        Step step = open_partial(partial, 6.0);
        step.manner = Manner::slow_closing;
        exercise.steps.push_back(step);
        rest(exercise, 6.0);
    }
    return exercise;
}

Exercise hand_before_attack(const Crook& crook, int notes, std::uint64_t seed) {
    Exercise exercise = named("hand-before-attack",
                              "The hand first",
                              "The hand stands where it belongs before the tongue moves.",
                              "hand");
    exercise.quarters_per_minute = 60.0;
    std::vector<horn::Note> stopped;
    for (const horn::ChartEntry& entry : horn::hand_chart()) {
        if (entry.written.number >= 56 && entry.written.number <= 77 &&
            has_hand(crook, entry, Hand::half)) {
            stopped.push_back(entry.written);
        }
    }
    Chance chance(seed);
    for (int i = 0; i < notes; ++i) {
        rest(exercise, 2.0);
        Step step = note(stopped[chance.choose(stopped.size())], 2.0);
        step.hand_first = true;
        exercise.steps.push_back(step);
    }
    return exercise;
}

const std::vector<Generator>& generators() {
    static const std::vector<Generator> kAll{
        {"long-tones", "Long tones", [](const Crook& c, std::uint64_t) { return long_tones(c); }},
        {"hand-pairs",
         "Open, half, stopped",
         [](const Crook& c, std::uint64_t seed) {
             return hand_pairs(c, 4 + static_cast<int>(seed % 6));
         }},
        {"stopped-scale",
         "Stopped scale",
         [](const Crook& c, std::uint64_t) { return stopped_scale(c); }},
        {"chromatic-scale",
         "Chromatic scale",
         [](const Crook& c, std::uint64_t) {
             return chromatic_scale(c, {60, 0}, {72, 0});
         }},
        {"cold-partials",
         "Partials cold",
         [](const Crook& c, std::uint64_t seed) { return cold_partials(c, 12, seed); }},
        {"false-partials-tube",
         "False partials as the tube has them",
         [](const Crook& c, std::uint64_t) { return false_partials(c, FalseTarget::tube); }},
        {"false-partials-tempered",
         "False partials brought into tune",
         [](const Crook& c, std::uint64_t) { return false_partials(c, FalseTarget::temperament); }},
        {"lip-slurs", "Lip slurs", [](const Crook& c, std::uint64_t) { return lip_slurs(c); }},
        {"lip-trills", "Lip trills", [](const Crook& c, std::uint64_t) { return lip_trills(c); }},
        {"hand-trills",
         "Hand trills",
         [](const Crook& c, std::uint64_t) { return hand_trills(c); }},
        {"slow-closings",
         "Slow closing",
         [](const Crook& c, std::uint64_t) { return slow_closings(c); }},
        {"balance",
         "Quiet horn, moving hand",
         [](const Crook& c, std::uint64_t) { return balance(c); }},
        {"hand-before-attack",
         "The hand first",
         [](const Crook& c, std::uint64_t seed) { return hand_before_attack(c, 8, seed); }},
    };
    return kAll;
}

} // namespace bellhand::drill
