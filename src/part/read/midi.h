#pragma once

#include "core/result.h"
#include "part/music.h"
#include "part/read/score.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::part {

/// A sounding note of a MIDI file, in the file's own ticks.
struct MidiNote {
    std::int64_t start = 0;
    std::int64_t end = 0;
    int number = 60;
};

struct MidiTime {
    std::int64_t at = 0;
    int beats = 4;
    int beat_type = 4;
};

struct MidiTempo {
    std::int64_t at = 0;
    double quarters_per_minute = 120.0;
};

/// A Standard MIDI File 1.0 (MIDI Association, RP-001) of format 0 or 1: the notes of every track and channel.
struct MidiScore {
    int ticks_in_quarter = 480;
    std::vector<PartHead> heads;
    std::vector<std::vector<MidiNote>> notes; ///< of each head, by start
    std::vector<MidiTime> times;
    std::vector<MidiTempo> tempos;
};

/// Reads a file of our own accord: the packaged library that was tried writes beyond its memory on damaged files, and
/// these come from anybody. Every byte is looked for before it is read. Errors: damaged, format 2, time code instead
/// of beats, no notes.
[[nodiscard]] Result<void>
parse_midi(std::string_view bytes, const std::string& where, MidiScore& score);

/// The music of one part: sounding notes in bars, those that cross a bar line tied. Errors: more bars than any part.
[[nodiscard]] Result<Music>
midi_music(const MidiScore& score, std::size_t part, const std::string& place);

} // namespace bellhand::part
