#include "app/demo.h"

#include "audio/exact_math.h"
#include "core/cents.h"

#include <array>
#include <cmath>
#include <iterator>

namespace bellhand::app {

namespace {

/// One step of the exercise.
struct Step {
    int number; ///< written note, chromatic number (C4 = 60)
    double length_s;
    bool slurred;
    double rest_s; ///< silence after it, besides the tongue's
};

// C E G C | C B A G F# F E D C | G Ab G | G A Bb C | D Eb E C | G
constexpr Step kExercise[] = {
    {60, 0.60, false, 0.0}, {64, 0.60, false, 0.0}, {67, 0.60, false, 0.0}, {72, 1.20, false, 0.5},
    {72, 0.50, false, 0.0}, {71, 0.50, false, 0.0}, {69, 0.50, false, 0.0}, {67, 0.50, false, 0.0},
    {66, 0.50, false, 0.0}, {65, 0.50, false, 0.0}, {64, 0.50, false, 0.0}, {62, 0.50, false, 0.0},
    {60, 1.20, false, 0.6}, {67, 0.70, false, 0.0}, {68, 0.70, true, 0.0},  {67, 1.00, true, 0.5},
    {67, 0.40, false, 0.0}, {69, 0.40, true, 0.0},  {70, 0.40, true, 0.0},  {72, 0.90, true, 0.5},
    {74, 0.50, false, 0.0}, {75, 0.50, true, 0.0},  {76, 0.50, true, 0.0},  {72, 0.80, false, 0.4},
    {67, 2.50, false, 0.9},
};
constexpr double kFirst_s = 0.6;   // of silence, before the first note
constexpr double kTongue_s = 0.06; // of silence before a tongued note
constexpr double kMistakeShare = 1.0 / 8.0;

double played_closure(horn::Hand hand) {
    switch (hand) {
    case horn::Hand::open:
        return 0.0;
    case horn::Hand::quarter:
        return 0.3;
    case horn::Hand::half:
        return 0.55;
    case horn::Hand::three_quarters:
        return 0.8;
    case horn::Hand::full:
        break;
    }
    return 1.0;
}

/// The small faults of a practised player: open partials pulled a little to where the tube has them, stopped notes less
/// certain the more the hand closes.
double usual_deviation(const horn::HandWay& way, audio::exact::Random& chance) {
    if (way.hand == horn::Hand::open) {
        return -0.4 * way.shift_cents + 3.0 * chance.normal();
    }
    return -3.0 + (4.0 + 4.0 * played_closure(way.hand)) * chance.normal();
}

/// The open note on the next partial above, where a missed attack lands.
horn::Note neighbour_of(const horn::HandWay& way, horn::Note meant) {
    for (const horn::ChartEntry& entry : horn::hand_chart()) {
        const horn::HandWay& usual = entry.ways.front();
        if (usual.hand == horn::Hand::open && usual.partial == way.partial + 1) {
            return entry.written;
        }
    }
    return meant;
}

Mistake choose_mistake(const horn::HandWay& way, const Step& step, audio::exact::Random& chance) {
    if (chance.uniform() >= kMistakeShare) {
        return Mistake::none;
    }
    if (way.hand != horn::Hand::open && chance.uniform() < 0.6) {
        return Mistake::flat_stop;
    }
    if (step.length_s >= 1.0) {
        return chance.uniform() < 0.5 ? Mistake::sagging : Mistake::unsteady;
    }
    if (step.slurred) {
        return Mistake::none; // what remains are mistakes of the attack
    }
    return chance.uniform() < 0.5 ? Mistake::neighbour : Mistake::scoop;
}

void apply_mistake(Mistake mistake, DemoNote& note, audio::ToneSpec& tone) {
    switch (mistake) {
    case Mistake::none:
    case Mistake::neighbour:
        break;
    case Mistake::flat_stop:
        note.deviation_cents -= 32.0;
        break;
    case Mistake::scoop:
        tone.attack_cents = -70.0;
        break;
    case Mistake::sagging:
        tone.drift_cents_per_s = -9.0;
        break;
    case Mistake::unsteady:
        tone.vibrato_hz = 3.1;
        tone.vibrato_cents = 14.0;
        break;
    }
}

void add_note(DemoScore& score,
              const Step& step,
              double start_s,
              const horn::Tuning& tuning,
              audio::exact::Random& chance) {
    const horn::Note meant = horn::usual_spelling(step.number);
    const horn::HandWay meant_way = horn::chart_entry(meant)->ways.front();
    DemoNote note;
    note.meant = meant;
    note.mistake = choose_mistake(meant_way, step, chance);
    note.played = note.mistake == Mistake::neighbour ? neighbour_of(meant_way, meant) : meant;
    if (note.mistake == Mistake::neighbour && note.played == meant) {
        note.mistake = Mistake::none; // no open partial above
    }
    const horn::HandWay way = horn::chart_entry(note.played)->ways.front();
    note.partial = way.partial;
    note.hand = way.hand;
    note.slurred = step.slurred;
    note.start_s = step.slurred ? start_s : start_s + kTongue_s;
    note.duration_s = step.length_s - (note.start_s - start_s);
    note.deviation_cents = usual_deviation(way, chance);

    audio::ToneSpec tone;
    tone.attack_cents = step.slurred ? 0.0 : 10.0 * chance.normal();
    tone.level_dbfs = -21.0 + 1.5 * chance.normal();
    apply_mistake(note.mistake, note, tone);
    note.f0_hz = horn::target_hz(note.played, tuning) * ratio_of_cents(note.deviation_cents);
    tone.start_s = note.start_s;
    tone.duration_s = note.duration_s;
    tone.f0_hz = note.f0_hz;
    tone.closure = played_closure(way.hand);
    tone.slurred = step.slurred;
    score.notes.push_back(note);
    score.sound.tones.push_back(tone);
}

} // namespace

DemoScore demo_score(const horn::Tuning& tuning, std::uint64_t seed, int passes) {
    DemoScore score;
    audio::exact::Random chance(seed); // the same performance on every machine
    double time_s = kFirst_s;
    for (int pass = 0; pass < passes; ++pass) {
        for (const Step& step : kExercise) {
            add_note(score, step, time_s, tuning, chance);
            time_s += step.length_s + step.rest_s;
        }
    }
    score.sound.length_s = time_s;
    score.sound.seed = seed;
    score.sound.repeat = true;
    return score;
}

} // namespace bellhand::app
