#include "part/read/interpret.h"
#include "part/read/lines.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

namespace bellhand::part {

namespace {

struct Loudness {
    Dynamic of_the_note = Dynamic::unsaid; ///< at which the mark stands
    Dynamic after = Dynamic::unsaid;
    bool accent = false;
};

/// Elaine Gould, Behind Bars (2011), pp. 101-108, for what the compound marks mean; their reading here: from memory.
Loudness loudness_of(std::string_view mark) {
    struct Named {
        std::string_view text;
        Loudness loudness;
    };
    constexpr Dynamic kNone = Dynamic::unsaid;
    constexpr std::array kMarks{Named{"ppp", {Dynamic::pp, Dynamic::pp}},
                                Named{"pppp", {Dynamic::pp, Dynamic::pp}},
                                Named{"pp", {Dynamic::pp, Dynamic::pp}},
                                Named{"p", {Dynamic::p, Dynamic::p}},
                                Named{"mp", {Dynamic::mp, Dynamic::mp}},
                                Named{"mf", {Dynamic::mf, Dynamic::mf}},
                                Named{"f", {Dynamic::f, Dynamic::f}},
                                Named{"ff", {Dynamic::ff, Dynamic::ff}},
                                Named{"fff", {Dynamic::ff, Dynamic::ff}},
                                Named{"ffff", {Dynamic::ff, Dynamic::ff}},
                                Named{"fp", {Dynamic::f, Dynamic::p, true}},
                                Named{"sfp", {Dynamic::f, Dynamic::p, true}},
                                Named{"sfpp", {Dynamic::f, Dynamic::pp, true}},
                                Named{"sf", {Dynamic::f, kNone, true}},
                                Named{"sfz", {Dynamic::f, kNone, true}},
                                Named{"sffz", {Dynamic::ff, kNone, true}},
                                Named{"fz", {Dynamic::f, kNone, true}},
                                Named{"rf", {Dynamic::f, kNone, true}},
                                Named{"rfz", {Dynamic::f, kNone, true}}};
    // "più f" and the like: the last word decides.
    const std::size_t blank = mark.find_last_of(' ');
    const std::string_view word = blank == std::string_view::npos ? mark : mark.substr(blank + 1);
    const auto* const found = std::find_if(
        kMarks.begin(), kMarks.end(), [&](const Named& named) { return named.text == word; });
    return found == kMarks.end() ? Loudness{} : found->loudness;
}

void put_dynamics(const Music& music, std::vector<Attack>& attacks) {
    std::size_t next = 0;
    Dynamic now = Dynamic::unsaid;
    for (Attack& attack : attacks) {
        Dynamic here = Dynamic::unsaid;
        while (next < music.dynamics.size() && music.dynamics[next].at <= attack.at) {
            const Loudness loudness = loudness_of(music.dynamics[next].text);
            const bool on_the_note = music.dynamics[next].at == attack.at;
            if (loudness.after != Dynamic::unsaid) {
                now = loudness.after;
            }
            if (on_the_note) {
                here = loudness.of_the_note;
                attack.accent = attack.accent || loudness.accent;
            }
            ++next;
        }
        attack.dynamic = here != Dynamic::unsaid ? here : now;
    }
}

/// Open slurs by number, of one voice.
class Slurs {
public:
    /// True when the note is joined to the one before it.
    bool take(const Note& note) {
        const bool joined = !open_.empty();
        for (const SpanEnd& end : note.slurs) {
            const auto found = std::find(open_.begin(), open_.end(), end.number);
            if (!end.starts && found != open_.end()) {
                open_.erase(found);
            }
        }
        for (const SpanEnd& end : note.slurs) {
            if (end.starts && open_.size() < 16) {
                open_.push_back(end.number);
            }
        }
        return joined;
    }

private:
    std::vector<int> open_;
};

/// Whether the end of a tie is the newest attack that sounds on.
bool goes_on(const std::vector<Attack>& attacks, const Note& note, std::int64_t start) {
    return !attacks.empty() && attacks.back().written.number == note.number &&
           attacks.back().start + attacks.back().ticks == start;
}

/// Whether players come to this place from elsewhere alone: the beginning of a second ending or a coda. At the beginning of
/// a repeat the first time through has nothing to be tied to, and the note is struck.
bool jumped_to(const Music& music, Place at) {
    const Signs& signs = music.bars[static_cast<std::size_t>(at.bar)].signs;
    return at.tick == 0 && (!signs.ending_begins.empty() || signs.coda);
}

} // namespace

std::vector<Attack> struck_notes(const Part& part) {
    const Music& music = part.music;
    const std::vector<bool> mine = part.players > 1 ? notes_of_player(music, part.player)
                                                    : std::vector<bool>(music.notes.size(), true);
    const std::vector<std::int64_t> starts = bar_starts(music);
    std::vector<Attack> attacks;
    Slurs slurs;
    for (std::size_t i = 0; i < music.notes.size(); ++i) {
        const Note& note = music.notes[i];
        if (!mine[i] || note.rest || note.cue) {
            continue;
        }
        const std::int64_t start = starts[static_cast<std::size_t>(note.at.bar)] + note.at.tick;
        const bool joined = slurs.take(note);
        if (note.tie_ends && goes_on(attacks, note, start)) {
            attacks.back().ticks = static_cast<int>(start + note.ticks - attacks.back().start);
            attacks.back().fermata = attacks.back().fermata || note.fermata;
            continue;
        }
        if (note.tie_ends && jumped_to(music, note.at)) {
            continue; // the tie begins where the jump is
        }
        Attack attack;
        attack.note = i;
        attack.at = note.at;
        const bool same_bar = !attacks.empty() && attacks.back().at.bar == note.at.bar;
        attack.in_bar = same_bar ? attacks.back().in_bar + 1 : 1;
        const bool simple = note.staff.sharps >= -1 && note.staff.sharps <= 1;
        attack.written =
            simple ? horn::Note{note.number, note.staff.sharps} : horn::usual_spelling(note.number);
        attack.start = start;
        attack.ticks = note.ticks;
        attack.grace = note.grace;
        attack.slurred = joined;
        attack.accent = note.accent;
        attack.fermata = note.fermata;
        attack.trill = note.trill;
        attack.tremolo = note.tremolo;
        attack.mark = note.mark;
        attacks.push_back(attack);
    }
    put_dynamics(music, attacks);
    return attacks;
}

void put_times(Part& part, const ReadOptions& options) {
    constexpr double kGrace_s = 0.1; // quick, and taken from its note (common practice, no source)
    const std::vector<std::int64_t> starts = bar_starts(part.music);
    std::vector<TempoChange> tempos = part.music.tempos;
    part.tempo_said = options.quarters_per_minute || !tempos.empty();
    if (options.quarters_per_minute) {
        tempos = {{{}, *options.quarters_per_minute}};
    }
    std::size_t next = 0;
    std::int64_t from = 0;
    double from_s = 0.0;
    double quarter_s = 60.0 / kUnsaidTempo;
    const auto seconds_at = [&](std::int64_t tick) {
        return from_s + static_cast<double>(tick - from) * quarter_s / kQuarter;
    };
    for (Attack& attack : part.attacks) {
        while (next < tempos.size() && tempos[next].at <= attack.at) {
            const Place at = tempos[next].at;
            const std::int64_t tick = starts[static_cast<std::size_t>(at.bar)] + at.tick;
            from_s = seconds_at(tick);
            from = tick;
            quarter_s = 60.0 / tempos[next].quarters_per_minute;
            ++next;
        }
        attack.start_s = seconds_at(attack.start);
        attack.length_s = attack.grace ? kGrace_s : attack.ticks * quarter_s / kQuarter;
    }
}

std::string bar_words(const Music& music, Place at) {
    return "bar " + music.bars[static_cast<std::size_t>(at.bar)].number;
}

} // namespace bellhand::part
