#pragma once

#include "horn/crook.h"
#include "horn/hand_chart.h"
#include "horn/note.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::drill {

/// Written dynamics, soft to loud. `as_before`: nothing written.
enum class Dynamic { as_before, pp, p, mp, mf, f, ff };

/// How the loudness of one note changes while it is held.
enum class Hairpin { none, growing, fading, growing_and_fading };

/// What is asked in one step beyond a plain note.
enum class Manner {
    plain,
    lip_trill,    ///< between `written` and `other` by the lips
    hand_trill,   ///< the same by the hand
    slow_closing, ///< the hand closes slowly from open to full stop on one partial
};

/// So many beats of a value in a bar; 4 is a quarter, 8 an eighth.
struct Metre {
    int beats = 4;
    int beat_type = 4;

    /// Length of a bar, in quarters.
    [[nodiscard]] double quarters() const noexcept { return 4.0 * beats / beat_type; }
    /// How often a metronome sounds in a bar: at every beat, and where eighths go in threes at every third.
    [[nodiscard]] int clicks() const noexcept {
        return beat_type >= 8 && beats > 3 && beats % 3 == 0 ? beats / 3 : beats;
    }
    /// From one sound of the metronome to the next, in quarters.
    [[nodiscard]] double click_quarters() const noexcept { return quarters() / clicks(); }
    friend bool operator==(const Metre&, const Metre&) = default;
};

/// Where a step of a part stands: its bars, crooks, metres and tempos change on the way.
struct InPart {
    int bar = 0;        ///< how many bars were played before this one
    std::string number; ///< of the bar, as printed
    int crook = -7;     ///< transposition of what is in the horn
    Metre metre;
    double quarters_per_minute = 0.0; ///< 0: free
    bool fermata = false;             ///< as long as the player likes
};

/// One note or rest of an exercise, in written notes.
struct Step {
    std::optional<horn::Note> written; ///< empty: a rest
    /// The partial and the position that are asked; empty: the usual way of the hand chart.
    std::optional<int> partial;
    std::optional<horn::Hand> hand;
    double quarters = 1.0;   ///< length in quarter notes; 0: as long as the player likes
    bool slurred = false;    ///< joined to the note before it, without tongue
    bool hand_first = false; ///< the hand takes its place silently before the attack
    Dynamic dynamic = Dynamic::as_before;
    Hairpin hairpin = Hairpin::none;
    Manner manner = Manner::plain;
    std::optional<horn::Note> other; ///< second note of a trill
    /// Chosen target, from the tuning's own; e.g. a false partial that is to stay where the tube has it.
    std::optional<double> target_offset_cents;
    std::optional<double> tolerance_cents; ///< empty: the player's own for this position
    /// Of a part; empty: bars follow the metre of the exercise. Files of exercises do not hold it.
    std::optional<InPart> in_part;
};

/// What the steps are judged against.
enum class Measure {
    temperament, ///< the temperament of the session
    chord,       ///< just, above `root` (a drone on it sounds)
};

/// A piece of daily work. Plain data, the same for what is read from a file, generated or composed by a teacher.
struct Exercise {
    std::string id; ///< "long-tones-open": small letters, digits, hyphens; unique
    std::string title;
    std::string purpose; ///< one sentence: what it is good for
    std::string family;  ///< "long tones", "hand pairs", "partials", ...: how lists group them
    double quarters_per_minute = 0.0; ///< 0: free tempo, the program follows
    Metre metre;
    int repetitions = 1;
    bool even = false; ///< loudness and colour are to be alike from note to note
    Measure measure = Measure::temperament;
    std::optional<horn::Note> root; ///< written root of drone and chord
    /// Transpositions (horn::Crook) it is meant for, in order of playing when `each_crook`; empty: any crook.
    std::vector<int> crooks;
    bool each_crook = false; ///< the same notes once on each of `crooks`
    /// Transposition of the crook that the part is printed for, when it is to be played on another: steps stand as
    /// printed, and what is asked is the note that sounds the same on the crook in the horn.
    std::optional<int> printed_for;
    std::vector<Step> steps;
};

} // namespace bellhand::drill
