#pragma once

#include "engraving/staff_place.h"
#include "horn/note.h"

#include <compare>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::engraving {

/// Ticks of a quarter note: 2^6 * 3^2 * 5 * 7, so that dotted values and the usual tuplets come out whole.
inline constexpr int kQuarter = 20160;

/// How a length is written.
struct Value {
    int halvings = 2; ///< of a whole note: 0 whole, 1 half, 2 quarter, 3 eighth, ... 6 sixty-fourth
    int dots = 0;
    int actual = 1; ///< tuplet: so many ...
    int normal = 1; ///< ... in the time of so many

    friend bool operator==(const Value&, const Value&) = default;
};

/// Ticks that a value takes.
[[nodiscard]] int ticks_of(const Value& value) noexcept;

struct Metre {
    int beats = 4;
    int beat_type = 4;
    std::string figures = "4"; ///< upper figure as printed, also "3+2"
    bool symbol = false;       ///< printed as C, or as cut C where halves are counted

    [[nodiscard]] int bar_ticks() const noexcept { return beats * 4 * kQuarter / beat_type; }
    friend bool operator==(const Metre&, const Metre&) = default;
};

/// A clef and by how many octaves its little figure shifts it.
struct StaffClef {
    Clef clef = Clef::treble;
    int octaves = 0;

    friend bool operator==(const StaffClef&, const StaffClef&) = default;
};

/// A bar as it is printed.
struct Bar {
    std::string number;         ///< for the head of a line; empty: none
    int ticks = 4 * kQuarter;   ///< how long it is
    int rests = 0;              ///< so many bars of rest printed as one; 0: an ordinary bar
    std::optional<Metre> metre; ///< changes here, and is printed
    std::optional<int> key;     ///< the same: sharps, negative flats
    bool repeat_begins = false;
    bool repeat_ends = false;
    std::string ending; ///< "1.", "2.": the bracket that begins over it
    bool ending_ends = false;
    bool open = false; ///< no bar line after it
    bool last = false; ///< the final bar line after it
};

/// What happens to the beam between a note and its neighbours.
enum class Beam { by_metre, begins, goes_on, ends, none };

/// A note head or a rest, in order of bar and tick; grace notes before their note.
struct Event {
    int bar = 0;
    int tick = 0;  ///< from the beginning of the bar
    int ticks = 0; ///< it takes; 0 for a grace note or a note as long as the player likes
    Value value;
    std::optional<horn::StaffName> head; ///< as printed; empty: a rest
    bool whole_bar = false;              ///< a rest of a whole bar, in its middle
    bool grace = false;
    bool cue = false;
    bool tie = false;              ///< to the next event
    std::optional<int> accidental; ///< printed though the bar's memory does not ask for it
    std::optional<StaffClef> clef; ///< changes before it
    Beam beam = Beam::by_metre;
    int tremolo = 0; ///< strokes through the stem
    bool trill = false;
    bool fermata = false;
    bool staccato = false;
    bool accent = false;
    std::string signs;    ///< of the hand, printed above: "o", "½", "¾+" for a range
    std::string partial;  ///< printed over the sign; empty: not
    std::string remark;   ///< printed over both
    std::size_t step = 0; ///< whatever the caller knows it by
};

/// From one event to another; both have heads.
struct Slur {
    std::size_t from = 0;
    std::size_t to = 0;
};

struct Tuplet {
    std::size_t from = 0;
    std::size_t to = 0;
    int actual = 3;
};

/// From one time to another, also within a note.
struct Hairpin {
    int bar = 0;
    int tick = 0;
    int to_bar = 0;
    int to_tick = 0;
    bool growing = true;
};

enum class TextKind {
    tempo,      ///< bold, above
    words,      ///< above
    expression, ///< below
    dynamic,    ///< below
    rehearsal,  ///< boxed, above
    crook,      ///< boxed, above
    navigation, ///< "D.C.", "Fine": above, at the end of its bar
    segno,
    coda,
};

struct Text {
    int bar = 0;
    int tick = 0;
    TextKind kind = TextKind::words;
    std::string words;
    std::optional<Value> beat{}; ///< of a tempo: a metronome figure stands behind its words
    std::string per_minute{};    ///< so many of it
};

/// One voice of music, ready for the page: nothing is interpreted.
struct Score {
    std::string title;
    std::string name;  ///< of the part
    std::string crook; ///< "Horn in E♭"; over the first line at the left
    StaffClef clef;    ///< at the beginning
    std::vector<Bar> bars;
    std::vector<Event> events;
    std::vector<Slur> slurs;
    std::vector<Tuplet> tuplets;
    std::vector<Hairpin> hairpins;
    std::vector<Text> texts;
};

} // namespace bellhand::engraving
