#pragma once

#include "horn/hand_chart.h"
#include "horn/note.h"

#include <compare>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::part {

/// Ticks of a quarter note: 2^6 * 3^2 * 5 * 7, so that dotted values and the usual tuplets come out whole.
inline constexpr int kQuarter = 20160;

/// A place in the music. `bar` is an index into the bars, not the number that is printed there.
struct Place {
    int bar = 0;
    int tick = 0; ///< from the beginning of the bar

    friend auto operator<=>(const Place&, const Place&) = default;
};

/// How a note or rest is printed.
struct Value {
    int halvings = 2; ///< of a whole note: -1 breve, 0 whole, 1 half, 2 quarter, 3 eighth, ...
    int dots = 0;
    int actual = 1; ///< tuplet: so many ...
    int normal = 1; ///< ... in the time of so many

    friend bool operator==(const Value&, const Value&) = default;
};

/// An end of a slur or tuplet bracket. Ends with the same number belong together.
struct SpanEnd {
    int number = 1;
    bool starts = false;
};

/// What happens to one of a note's beams, the eighth's first.
enum class Beam { begins, goes_on, ends, hook_forward, hook_back };

enum class Dynamic { unsaid, pp, p, mp, mf, f, ff };

/// A note head or a rest as it stands in the part, in order of bar, tick and voice; grace notes before their note.
struct Note {
    Place at;
    int ticks = 0;              ///< it takes; 0 for a grace note
    std::optional<Value> value; ///< empty: not said (a rest of a whole bar)
    bool rest = false;
    bool whole_bar = false; ///< a rest of a whole bar
    bool hidden = false;    ///< a rest that is not printed: it only fills a voice
    /// As printed, in the octave that the file gives it: old bass clef is put right in `Attack`.
    horn::StaffName staff;
    int number = 60; ///< the same as a chromatic number
    int voice = 1;
    int staff_of_part = 1;
    bool chord = false; ///< begins with the note before
    bool grace = false;
    bool cue = false;
    bool tie_ends = false;   ///< goes on from the note before
    bool tie_begins = false; ///< goes on into the next
    std::vector<SpanEnd> slurs;
    std::vector<SpanEnd> tuplets;
    std::vector<Beam> beams;
    std::optional<int> accidental; ///< printed beside the head: -2 to 2
    int tremolo = 0;               ///< strokes through the stem: repeated notes
    bool trill = false;
    bool fermata = false;
    bool staccato = false;
    bool accent = false;
    std::optional<horn::Hand> mark; ///< hand sign in the file
    std::optional<std::size_t>
        source; ///< where the note stands in the text it was read from, bytes
};

struct Clef {
    char sign = 'G'; ///< 'G', 'F', 'C'; 'P' for percussion and others
    int line = 2;
    int octave_change = 0;

    friend bool operator==(const Clef&, const Clef&) = default;
};

struct ClefChange {
    Place at;
    Clef clef;
    int staff_of_part = 1;
};

struct KeyChange {
    Place at;
    int fifths = 0; ///< as written: sharps, negative flats
};

struct TimeChange {
    Place at;
    std::string beats = "4"; ///< as printed, also "3+2"
    int beats_sum = 4;
    int beat_type = 4;
    bool symbol = false; ///< printed as C or cut C
};

struct TempoChange {
    Place at;
    double quarters_per_minute = 0.0;
};

/// A metronome figure as it is printed: a note, and how many of it in a minute ("c. 80").
struct MetronomeMark {
    Place at;
    Value beat;
    std::string per_minute;
};

/// A dynamic mark as written: "pp", "sfp", "fz".
struct DynamicMark {
    Place at;
    std::string text;
};

struct Hairpin {
    Place from;
    Place to;
    bool growing = true;
};

/// Words above or below the staff.
struct Words {
    Place at;
    std::string text;
    /// Where their `direction` stands in the text it was read from when it holds nothing else, bytes.
    std::optional<std::size_t> source;
};

/// A transposition that the file states, semitones from written to sounding.
struct TransposeChange {
    Place at;
    int semitones = 0;
};

/// Where repeats lead, as the bar says it.
struct Signs {
    bool repeat_begins = false;
    bool repeat_ends = false;
    int repeat_times = 2;           ///< how often the repeated bars sound
    std::vector<int> ending_begins; ///< numbers of the ending that begins here
    bool ending_ends = false;
    bool segno = false;
    bool coda = false; ///< the coda begins here
    bool to_coda = false;
    bool da_capo = false;
    bool dal_segno = false;
    bool fine = false;
};

struct Bar {
    std::string number; ///< as printed
    bool counted =
        true;      ///< false: a pick-up or the rest of a split bar, without a number of its own
    int ticks = 0; ///< how long it is
    int multi_rest = 0; ///< bars of rest that are printed as one, beginning here; 0: none
    Signs signs;
};

/// The music of one part as it is printed: nothing interpreted, nothing expanded.
struct Music {
    std::vector<Bar> bars;
    std::vector<Note> notes;
    std::vector<ClefChange> clefs;
    std::vector<KeyChange> keys;
    std::vector<TimeChange> times;
    std::vector<TempoChange> tempos;
    std::vector<MetronomeMark> metronomes;
    std::vector<DynamicMark> dynamics;
    std::vector<Hairpin> hairpins;
    std::vector<Words> words;
    std::vector<TransposeChange> transposes;
    bool sounding_pitch = false; ///< the file says that its notes stand as they sound
    int skipped = 0;             ///< elements that were not understood
    int unseen = 0;              ///< notes that are not printed
    int quarter_tones = 0;       ///< notes whose pitch was rounded to a semitone
};

/// The metre in force at a place; four-four before the first.
[[nodiscard]] TimeChange time_at(const Music& music, Place at) noexcept;

/// Beat in its bar, from 1, in units of the metre's lower figure.
[[nodiscard]] double beat_of(const Music& music, Place at) noexcept;

/// Ticks from the beginning of the part to the beginning of every bar, and to the end.
[[nodiscard]] std::vector<std::int64_t> bar_starts(const Music& music);

} // namespace bellhand::part
