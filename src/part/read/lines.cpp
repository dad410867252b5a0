#include "part/read/lines.h"

#include <algorithm>
#include <set>
#include <utility>

namespace bellhand::part {

namespace {

using Line = std::pair<int, int>; ///< staff and voice

Line line_of(const Note& note) {
    return {note.staff_of_part, note.voice};
}

bool sounds(const Note& note) {
    return !note.rest && !note.cue;
}

/// The notes of one bar as a range of indices.
struct BarRange {
    std::size_t begin = 0;
    std::size_t end = 0;
};

std::vector<BarRange> ranges_of(const Music& music) {
    std::vector<BarRange> ranges;
    for (std::size_t i = 0; i < music.notes.size();) {
        std::size_t end = i;
        while (end < music.notes.size() && music.notes[end].at.bar == music.notes[i].at.bar) {
            ++end;
        }
        ranges.push_back({i, end});
        i = end;
    }
    return ranges;
}

/// Voices that a reader sees in this bar, the upper first.
std::vector<Line> lines_of(const Music& music, BarRange bar) {
    std::set<Line> lines;
    for (std::size_t i = bar.begin; i < bar.end; ++i) {
        const Note& note = music.notes[i];
        if (!note.cue && !(note.rest && note.hidden)) {
            lines.insert(line_of(note));
        }
    }
    return {lines.begin(), lines.end()};
}

/// Marks the highest or the lowest of the notes of a line that begin together.
void mark_chord(
    const Music& music, BarRange bar, std::size_t first, bool upper, std::vector<bool>& mine) {
    std::size_t chosen = first;
    for (std::size_t i = first + 1; i < bar.end; ++i) {
        const Note& note = music.notes[i];
        const Note& best = music.notes[chosen];
        if (note.at != best.at) {
            break;
        }
        if (line_of(note) != line_of(best) || !sounds(note)) {
            continue;
        }
        if (!note.chord) {
            break; // the note after a grace note
        }
        if (upper ? note.number > best.number : note.number < best.number) {
            chosen = i;
        }
    }
    mine[chosen] = true;
}

} // namespace

int players_of(const Music& music) {
    for (const BarRange bar : ranges_of(music)) {
        std::set<Line> sounding;
        for (std::size_t i = bar.begin; i < bar.end; ++i) {
            const Note& note = music.notes[i];
            if (!sounds(note)) {
                continue;
            }
            sounding.insert(line_of(note));
            if (note.chord || sounding.size() > 1) {
                return 2;
            }
        }
    }
    return 1;
}

std::vector<bool> notes_of_player(const Music& music, int player) {
    std::vector<bool> mine(music.notes.size(), false);
    const bool upper = player == 1;
    for (const BarRange bar : ranges_of(music)) {
        const std::vector<Line> lines = lines_of(music, bar);
        const bool apart = lines.size() > 1;
        for (std::size_t i = bar.begin; i < bar.end; ++i) {
            const Note& note = music.notes[i];
            const bool my_line = !apart || line_of(note) == lines[upper ? 0 : 1];
            if (sounds(note) && !note.chord && my_line) {
                mark_chord(music, bar, i, upper, mine);
            }
        }
    }
    return mine;
}

} // namespace bellhand::part
