#pragma once

#include "horn/crook.h"
#include "horn/crook_chart.h"
#include "part/music.h"
#include "part/read/score.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::part {

/// A crook that is in the horn from a place on.
struct CrookChange {
    Place from;
    horn::Crook crook;
    std::string
        because; ///< where it is known from: "the transposition in the file", "\"muta in D\""
};

/// A note that is struck: a head with those tied to it.
struct Attack {
    std::size_t note = 0; ///< index into the notes of the music
    Place at;
    int in_bar = 1;     ///< number in its bar, from 1: how a pin names it
    horn::Note written; ///< as in the treble clef, whatever the clef
    horn::Note sounding;
    std::size_t crook = 0;  ///< index into the crooks of the part
    std::int64_t start = 0; ///< ticks from the beginning of the part
    int ticks = 0;          ///< with what is tied to it; 0 for a grace note
    double start_s = 0.0;   ///< at the tempo of the part
    double length_s = 0.0;
    bool grace = false;
    bool slurred = false; ///< joined to the note before it, without tongue
    bool accent = false;
    bool fermata = false;
    bool trill = false;
    int tremolo = 0;
    Dynamic dynamic = Dynamic::unsaid;
    std::optional<horn::Hand> mark; ///< hand sign in the file
};

/// One player's part, understood as far as the file allows.
struct Part {
    PartHead head;
    std::size_t index = 0; ///< in the score
    Music music;
    int players = 1;                 ///< who share the staff
    int player = 1;                  ///< whose notes these are
    std::vector<CrookChange> crooks; ///< by place; empty when a question about it is open
    std::vector<Attack> attacks;
    std::vector<int> order;          ///< bars in order of playing, repeats and jumps followed
    bool tempo_said = false;         ///< else `kUnsaidTempo` serves
    std::vector<std::string> doubts; ///< sentences: what was taken how, and what contradicts it
    std::vector<std::string>
        questions; ///< sentences: what only the player can say, and the option that answers
};

/// Quarter notes a minute where nothing is said: an Allegro moderato (common practice, no source).
inline constexpr double kUnsaidTempo = 108.0;

/// A crook said by the player.
struct SaidCrook {
    std::string bar; ///< number of the bar from which it holds; empty: the beginning
    horn::Crook crook;
};

enum class Notation { written, sounding };

/// What the player says about a part; what is empty is found out.
struct ReadOptions {
    std::optional<int> player; ///< 1 or 2
    std::vector<SaidCrook> crooks;
    std::optional<horn::BassClef> bass_clef;
    std::optional<Notation> notes;
    std::optional<double> quarters_per_minute;
};

/// Reads one part of a score and interprets it: whose notes, which crook, which octave of the bass clef, what is tied,
/// how loud. What cannot be known is a question, what was decided against something else a doubt; never a guess.
/// Errors: those of `Score::music`, no notes, a bar of `options` that is not there.
[[nodiscard]] Result<Part>
read_part(const Score& score, std::size_t part, const ReadOptions& options = {});

/// The part that a player means by its id in the file, its number from 1, or (the beginning of) its name. Errors
/// (usage): none or several.
[[nodiscard]] Result<std::size_t> part_named(const Score& score, std::string_view name);

/// The first bar that is printed with this number; empty when there is none.
[[nodiscard]] std::optional<int> bar_numbered(const Music& music, std::string_view number);

} // namespace bellhand::part
