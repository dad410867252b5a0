#include "part/write/printed_bars.h"

#include "part/read/lines.h"

#include <algorithm>

namespace bellhand::part {

namespace {

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

void sort_notes(const Part& part, std::vector<PrintedBar>& bars) {
    const Music& music = part.music;
    const std::vector<bool> mine = notes_of_player(music, part.player);
    for (std::size_t i = 0; i < music.notes.size(); ++i) {
        const Note& note = music.notes[i];
        if (note.rest) {
            bars[at(note.at.bar)].rests.push_back(i);
        } else if (mine[i] && !note.cue) {
            bars[at(note.at.bar)].heads.push_back(i);
        }
    }
    for (const Words& words : music.words) {
        bars[at(words.at.bar)].words = true;
    }
}

void find_changes(const Music& music, std::vector<PrintedBar>& bars) {
    for (const KeyChange& key : music.keys) {
        const int bar = key.at.tick > 0 ? key.at.bar + 1 : key.at.bar;
        if (at(bar) < bars.size()) {
            bars[at(bar)].key_change = key.fifths;
        }
    }
    for (const TimeChange& time : music.times) {
        bars[at(time.at.bar)].metre_change =
            engraving::Metre{time.beats_sum, time.beat_type, time.beats, time.symbol};
    }
    engraving::Metre metre;
    int key = 0;
    for (std::size_t i = 0; i < bars.size(); ++i) {
        PrintedBar& bar = bars[i];
        if (i == 0) {
            bar.metre_change = bar.metre_change.value_or(metre);
        } else if (bar.metre_change && *bar.metre_change == metre) {
            bar.metre_change.reset();
        }
        metre = bar.metre_change.value_or(metre);
        bar.metre = metre;
        if (bar.key_change && *bar.key_change == key) {
            bar.key_change.reset();
        }
        key = bar.key_change.value_or(key);
    }
}

void find_crooks(const Part& part, std::vector<PrintedBar>& bars) {
    for (std::size_t i = 1; i < part.crooks.size(); ++i) {
        const Place from = part.crooks[i].from;
        int bar = std::min(from.bar, static_cast<int>(bars.size()) - 1);
        while (bar > part.crooks[i - 1].from.bar && bars[at(bar - 1)].heads.empty()) {
            --bar;
        }
        bars[at(bar)].crook_due = std::string(part.crooks[i].crook.label) + " crook";
        bars[at(bar)].due_tick = bar == from.bar ? from.tick : 0;
    }
}

/// Small notes of others, where the player is silent.
void find_cues(const Music& music, std::vector<PrintedBar>& bars) {
    std::vector<int> voice(bars.size(),
                           -1); // -1: no cue yet; -2: the player himself has notes here
    for (std::size_t i = 0; i < bars.size(); ++i) {
        voice[i] = bars[i].heads.empty() ? -1 : -2;
    }
    for (std::size_t i = 0; i < music.notes.size(); ++i) {
        const Note& note = music.notes[i];
        int& here = voice[at(note.at.bar)];
        if (note.cue && !note.rest && !note.chord && (here == -1 || here == note.voice)) {
            here = note.voice;
            bars[at(note.at.bar)].heads.push_back(i);
        }
    }
}

bool begins_anew(const PrintedBar& bar, const Signs& signs) {
    return bar.key_change || bar.metre_change || bar.words || !bar.crook_due.empty() ||
           signs.repeat_begins || !signs.ending_begins.empty() || signs.segno || signs.coda;
}

bool ends_something(const Signs& signs) {
    return signs.repeat_ends || signs.ending_ends || signs.fine || signs.da_capo ||
           signs.dal_segno || signs.to_coda;
}

} // namespace

std::vector<PrintedBar> printed_bars(const Part& part, bool cues) {
    std::vector<PrintedBar> bars(part.music.bars.size());
    if (!bars.empty()) {
        sort_notes(part, bars);
        find_changes(part.music, bars);
        find_crooks(part, bars);
        if (cues) {
            find_cues(part.music, bars);
        }
    }
    return bars;
}

int empty_from(const std::vector<PrintedBar>& bars, const Music& music, int first) {
    int end = first;
    while (at(end) < bars.size() && bars[at(end)].heads.empty()) {
        const PrintedBar& bar = bars[at(end)];
        const Bar& printed = music.bars[at(end)];
        const bool whole = printed.ticks == bar.metre.bar_ticks() && !fermata_in(music, bar);
        if (end > first && (begins_anew(bar, printed.signs) || !whole)) {
            break;
        }
        ++end;
        if (ends_something(printed.signs) || !whole) {
            break;
        }
    }
    return end - first;
}

bool fermata_in(const Music& music, const PrintedBar& bar) {
    return std::any_of(bar.rests.begin(), bar.rests.end(), [&music](std::size_t i) {
        return music.notes[i].fermata;
    });
}

} // namespace bellhand::part
