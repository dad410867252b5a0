#pragma once

#include "audio/synth.h"
#include "drill/exercise.h"
#include "drill/judgement.h"
#include "drill/plan.h"
#include "trainer/note_tracker.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::test {

/// How often a player's lips, memory and nerves do something else than what is written; shares of all steps.
struct Slips {
    double neighbour = 0.0;  ///< the next partial up or down sounds
    double octave = 0.0;     ///< the partial an octave off
    double other_note = 0.0; ///< anything else
    double extra = 0.0;      ///< a note too many before the step
    double left_out = 0.0;   ///< the step and perhaps one or two more
    double again = 0.0;      ///< the last one to four notes once more
    double bar_again = 0.0;  ///< from the beginning of this bar or the one before
    double beginning = 0.0;  ///< from the very beginning
    double pause = 0.0;      ///< silence of 1 to 6 s before the step
    double try_again = 0.5;  ///< of wrong notes: the step is tried once more
};

/// A steady fault: on the steps that fit all of what is given. Pitch, attack and partial faults need no `amount`; the
/// usual one is clearly beyond the tolerances.
struct Weakness {
    drill::Fault fault = drill::Fault::flat;
    std::optional<int> written; ///< chromatic number
    std::optional<horn::Hand> hand;
    std::optional<int> partial;
    std::optional<std::uint32_t> step;
    double share = 1.0;           ///< of those steps, at random
    std::optional<double> amount; ///< cents, dB or seconds beyond right
};

/// One player, playing one exercise on one crook.
struct PlayerScript {
    horn::Tuning tuning;
    std::uint64_t seed = 1;
    int passes = 1;
    /// Scatter of the held pitch, standard deviation, open and full stop (between them in proportion): a practised
    /// player. Never beyond `most_of_tolerance` of what the step allows, so that a right note is right.
    double open_cents = 3.0;
    double stopped_cents = 6.0;
    double most_of_tolerance = 0.85;
    double quarter_s = 0.6; ///< where the exercise has no tempo
    double free_s = 1.5;    ///< length of a note that has none
    double first_s = 0.6;   ///< silence before the first note
    Slips slips;
    std::vector<Weakness> weaknesses;
};

/// A note of the performance: the truth.
struct PerformedNote {
    std::optional<std::uint32_t> step; ///< of the exercise; empty: an extra note
    std::uint32_t asked = 0;           ///< index into the plan; of an extra note what comes next
    bool right = true;                 ///< the note that is written, well played or badly
    std::vector<drill::Fault> faults;  ///< put in on purpose
    double start_s = 0.0;
    double duration_s = 0.0;
    double f0_hz = 0.0;
    double attack_cents = 0.0; ///< against f0_hz
    double wobble_cents = 0.0; ///< to each side
    double level_dbfs = -21.0;
    double swell_db = 0.0; ///< how much a hairpin grows
    double closure = 0.0;
    bool slurred = false;
};

struct Performance {
    horn::Tuning tuning;
    std::vector<drill::Asked> plan;
    std::vector<PerformedNote> notes;    ///< in time
    std::vector<std::uint32_t> left_out; ///< plan indices of skipped steps, as often as skipped
    double end_s = 0.0;
};

/// The player plays the exercise. Same script, same performance.
[[nodiscard]] Performance perform(const drill::Exercise& exercise, const PlayerScript& script);

/// The notes as the tracker would find them: with its measured errors (pitch 0.3 cents, starts 8 ms, ends 20 ms,
/// standard deviations) and without what it hears of the hand.
[[nodiscard]] std::vector<trainer::PlayedNote> notes_of(const Performance& performance,
                                                        std::uint64_t seed);

/// The same as a score for the synthesiser, one second of silence after it.
[[nodiscard]] audio::SynthScore sound_of(const Performance& performance, std::uint64_t seed);

/// A melody of our own chance: mostly steps of the scale, some leaps, repeated notes and hand notes, some rests, inside
/// the crook's compass.
[[nodiscard]] drill::Exercise
random_melody(const horn::Crook& crook, int notes, std::uint64_t seed);

} // namespace bellhand::test
