#include "part/read/midi.h"

#include "part/read/encoding.h"

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <utility>

namespace bellhand::part {

namespace {

constexpr std::int64_t kLongest_quarters = 400'000; // about a day of music
constexpr int kHornProgram = 60;                    // General MIDI 1: French horn, counted from 0
constexpr int kDrumChannel = 9;

/// Bytes in order; whoever asks for more than there are gets none and `ended`.
class Bytes {
public:
    explicit Bytes(std::string_view bytes) : bytes_(bytes) {}

    [[nodiscard]] bool at_end() const noexcept { return at_ >= bytes_.size(); }
    [[nodiscard]] bool ended() const noexcept { return ended_; }

    std::uint32_t byte() {
        if (at_end()) {
            ended_ = true;
            return 0;
        }
        return static_cast<unsigned char>(bytes_[at_++]);
    }
    [[nodiscard]] std::uint32_t peek() const noexcept {
        return at_end() ? 0 : static_cast<unsigned char>(bytes_[at_]);
    }
    std::uint32_t number(int count) {
        std::uint32_t value = 0;
        for (int i = 0; i < count; ++i) {
            value = (value << 8U) | byte();
        }
        return value;
    }
    /// Seven bits a byte, at most four bytes.
    std::uint32_t variable() {
        std::uint32_t value = 0;
        for (int i = 0; i < 4; ++i) {
            const std::uint32_t next = byte();
            value = (value << 7U) | (next & 0x7FU);
            if ((next & 0x80U) == 0) {
                return value;
            }
        }
        ended_ = true; // a fifth byte is damage
        return 0;
    }
    std::string_view take(std::size_t count) {
        if (count > bytes_.size() - at_) {
            ended_ = true;
            count = bytes_.size() - at_;
        }
        at_ += count;
        return bytes_.substr(at_ - count, count);
    }

private:
    std::string_view bytes_;
    std::size_t at_ = 0;
    bool ended_ = false;
};

struct Voice {
    std::vector<MidiNote> notes;
    int program = -1;
    std::array<std::int64_t, 128> since{}; ///< start of a sounding note, -1 when it is silent
    Voice() { since.fill(-1); }
};

class TrackReader {
public:
    TrackReader(MidiScore& score, std::size_t& notes_left) : score_(score), left_(notes_left) {}

    /// False when the track is damaged.
    bool read(std::string_view bytes) {
        Bytes in(bytes);
        std::uint32_t running = 0;
        while (!in.at_end() && !finished_ && left_ > 0) {
            now_ += in.variable();
            std::uint32_t status = in.peek();
            if (status >= 0x80U) {
                in.byte();
            } else {
                status = running;
            }
            if (status < 0x80U || in.ended() ||
                now_ > kLongest_quarters * score_.ticks_in_quarter) {
                return false;
            }
            if (status >= 0xF0U) {
                system(in, status);
            } else {
                running = status;
                channel(in, status);
            }
            if (in.ended() || broken_) {
                return false;
            }
        }
        for (auto& [channel_number, voice] : voices_) {
            for (int number = 0; number < 128; ++number) {
                stop(voice, number);
            }
        }
        return true;
    }

    [[nodiscard]] std::map<int, Voice>& voices() noexcept { return voices_; }
    [[nodiscard]] const std::string& name() const noexcept { return name_; }

private:
    void system(Bytes& in, std::uint32_t status) {
        if (status == 0xFFU) {
            const std::uint32_t kind = in.byte();
            meta(kind, in.take(in.variable()));
        } else if (status == 0xF0U || status == 0xF7U) {
            in.take(in.variable());
        } else {
            broken_ = true; // no such event in a file
        }
    }

    void meta(std::uint32_t kind, std::string_view data) {
        Bytes in(data);
        constexpr std::uint32_t kName = 0x03;
        constexpr std::uint32_t kInstrument = 0x04;
        constexpr std::uint32_t kEnd = 0x2F;
        constexpr std::uint32_t kTempo = 0x51;
        constexpr std::uint32_t kTime = 0x58;
        if ((kind == kName || kind == kInstrument) && name_.empty()) {
            name_ = name_of(data.substr(0, 100));
        } else if (kind == kEnd) {
            finished_ = true;
        } else if (kind == kTempo && data.size() >= 3) {
            const std::uint32_t microseconds = in.number(3);
            const double per_minute = microseconds > 0 ? 60e6 / microseconds : 0.0;
            if (per_minute >= 5.0 && per_minute <= 1000.0) {
                score_.tempos.push_back({now_, per_minute});
            }
        } else if (kind == kTime && data.size() >= 2) {
            const auto beats = static_cast<int>(in.byte());
            const std::uint32_t power = in.byte();
            if (beats >= 1 && power <= 7) {
                score_.times.push_back({now_, beats, 1 << power});
            }
        }
    }

    void channel(Bytes& in, std::uint32_t status) {
        const auto number = static_cast<int>(status & 0x0FU);
        const std::uint32_t kind = status & 0xF0U;
        const auto first = static_cast<int>(in.byte() & 0x7FU);
        const bool one_byte = kind == 0xC0U || kind == 0xD0U;
        const std::uint32_t second = one_byte ? 0 : in.byte();
        if (kind == 0x90U && second > 0) {
            Voice& voice = voices_[number];
            stop(voice, first);
            voice.since[static_cast<std::size_t>(first)] = now_;
        } else if (kind == 0x80U || kind == 0x90U) {
            stop(voices_[number], first);
        } else if (kind == 0xC0U) {
            voices_[number].program = first;
        }
    }

    void stop(Voice& voice, int number) {
        std::int64_t& since = voice.since[static_cast<std::size_t>(number)];
        if (since >= 0 && now_ > since && left_ > 0) {
            voice.notes.push_back({since, now_, number});
            --left_;
        }
        since = -1;
    }

    MidiScore& score_;
    std::size_t& left_;
    std::map<int, Voice> voices_;
    std::string name_;
    std::int64_t now_ = 0;
    bool finished_ = false;
    bool broken_ = false;
};

void add_parts(TrackReader& track, std::size_t number, MidiScore& score) {
    for (auto& [channel, voice] : track.voices()) {
        if (voice.notes.empty() || channel == kDrumChannel) {
            continue;
        }
        PartHead head;
        head.id = "T" + std::to_string(number) + "C" + std::to_string(channel + 1);
        head.name = track.name().empty() ? "channel " + std::to_string(channel + 1) : track.name();
        const Heading heading = read_heading(track.name());
        head.horn = !heading.other && (heading.horn || voice.program == kHornProgram);
        head.key = heading.key;
        head.key_heading = head.name;
        std::sort(voice.notes.begin(), voice.notes.end(), [](const MidiNote& a, const MidiNote& b) {
            return std::pair(a.start, -a.number) < std::pair(b.start, -b.number);
        });
        score.heads.push_back(std::move(head));
        score.notes.push_back(std::move(voice.notes));
    }
}

/// The printed value that comes nearest; MIDI knows lengths only.
Value nearest_value(int ticks) {
    Value best;
    int smallest = -1;
    for (int halvings = 0; halvings <= 6; ++halvings) {
        for (int dots = 0; dots <= 1; ++dots) {
            const int plain = 4 * kQuarter >> halvings;
            const int length = plain + (dots == 1 ? plain / 2 : 0);
            const int off = std::abs(length - ticks);
            if (smallest < 0 || off < smallest) {
                smallest = off;
                best.halvings = halvings;
                best.dots = dots;
            }
        }
    }
    return best;
}

/// Bars until the last note has ended.
bool make_bars(const MidiScore& score, std::int64_t end, Music& music) {
    const std::int64_t quarter = score.ticks_in_quarter;
    MidiTime now;
    std::size_t next = 0;
    for (std::int64_t at = 0; at < end || music.bars.empty();) {
        if (music.bars.size() == kMostBars) {
            return false;
        }
        bool changed = music.bars.empty();
        while (next < score.times.size() && score.times[next].at <= at) {
            now = score.times[next++];
            changed = true;
        }
        if (changed) {
            TimeChange time;
            time.at = {static_cast<int>(music.bars.size()), 0};
            time.beats = std::to_string(now.beats);
            time.beats_sum = now.beats;
            time.beat_type = now.beat_type;
            music.times.push_back(time);
        }
        Bar bar;
        bar.number = std::to_string(music.bars.size() + 1);
        bar.ticks = now.beats * (4 * kQuarter / now.beat_type);
        music.bars.push_back(bar);
        at += std::max<std::int64_t>(bar.ticks * quarter / kQuarter, 1);
    }
    return true;
}

Place place_of(const std::vector<std::int64_t>& starts, std::int64_t tick) {
    const auto after = std::upper_bound(starts.begin(), starts.end() - 1, tick);
    const auto bar = std::max<std::ptrdiff_t>(after - starts.begin() - 1, 0);
    return {static_cast<int>(bar), static_cast<int>(tick - starts[static_cast<std::size_t>(bar)])};
}

/// One note, in as many tied heads as it takes bars.
void add_heads(const MidiNote& sounding,
               std::int64_t quarter,
               const std::vector<std::int64_t>& starts,
               Music& music) {
    std::int64_t from = sounding.start * kQuarter / quarter;
    const std::int64_t to = std::max(sounding.end * kQuarter / quarter, from + 1);
    bool tied = false;
    while (from < to) {
        Note note;
        note.at = place_of(starts, from);
        const std::int64_t bar_end =
            std::max(starts[static_cast<std::size_t>(note.at.bar) + 1], from + 1);
        const bool last = static_cast<std::size_t>(note.at.bar) + 2 >= starts.size();
        const std::int64_t end = last ? to : std::min(to, bar_end);
        note.ticks = static_cast<int>(end - from);
        note.value = nearest_value(note.ticks);
        note.number = sounding.number;
        note.staff = horn::staff_name(horn::usual_spelling(sounding.number));
        note.tie_ends = tied;
        note.tie_begins = end < to;
        tied = true;
        music.notes.push_back(std::move(note));
        from = end;
    }
}

} // namespace

Result<void> parse_midi(std::string_view bytes, const std::string& where, MidiScore& score) {
    const auto damaged = [&where](const char* what) {
        return failure(where + " is a damaged MIDI file (" + what + "): export it again.");
    };
    Bytes in(bytes);
    in.take(4);
    const std::uint32_t head_length = in.number(4);
    Bytes head(in.take(head_length));
    const std::uint32_t format = head.number(2);
    head.number(2); // tracks are counted as they come
    const std::uint32_t division = head.number(2);
    if (head.ended() || in.ended()) {
        return damaged("its head is cut");
    }
    if (format > 1) {
        return failure(where + " is a MIDI file of format 2, separate patterns that are no part: "
                               "export it as format 1.");
    }
    if ((division & 0x8000U) != 0 || division == 0) {
        return failure(where + " counts in time code, not in beats: export it with beats.");
    }
    score.ticks_in_quarter = static_cast<int>(division);
    std::size_t notes_left = kMostNotes;
    std::size_t number = 0;
    while (!in.at_end()) {
        const std::string_view kind = in.take(4);
        const std::uint32_t length = in.number(4);
        const std::string_view chunk = in.take(length);
        if (in.ended()) {
            return damaged("a track is cut");
        }
        if (kind != "MTrk") {
            continue; // other chunks are to be passed over (RP-001)
        }
        TrackReader track(score, notes_left);
        if (!track.read(chunk)) {
            return damaged("an event of a track cannot be read");
        }
        add_parts(track, ++number, score);
    }
    if (notes_left == 0) {
        return failure(where + " holds more than 200000 notes: export the horn part by itself.");
    }
    if (score.heads.empty()) {
        return failure(where + " holds no notes: export it again with at least one instrument.");
    }
    const auto by_time = [](const auto& a, const auto& b) { return a.at < b.at; };
    std::stable_sort(score.times.begin(), score.times.end(), by_time);
    std::stable_sort(score.tempos.begin(), score.tempos.end(), by_time);
    return {};
}

Result<Music> midi_music(const MidiScore& score, std::size_t part, const std::string& place) {
    const std::vector<MidiNote>& notes = score.notes[part];
    Music music;
    music.sounding_pitch = true;
    std::int64_t end = 0;
    for (const MidiNote& note : notes) {
        end = std::max(end, note.end);
    }
    if (!make_bars(score, end, music)) {
        return failure(place + " has more than 50000 bars: export the horn part by itself.");
    }
    const std::vector<std::int64_t> starts = bar_starts(music);
    for (const MidiNote& note : notes) {
        add_heads(note, score.ticks_in_quarter, starts, music);
    }
    for (const MidiTempo& tempo : score.tempos) {
        music.tempos.push_back({place_of(starts, tempo.at * kQuarter / score.ticks_in_quarter),
                                tempo.quarters_per_minute});
    }
    std::stable_sort(music.notes.begin(), music.notes.end(), [](const Note& a, const Note& b) {
        return a.at < b.at;
    });
    for (std::size_t i = 1; i < music.notes.size(); ++i) {
        music.notes[i].chord =
            music.notes[i].at == music.notes[i - 1].at && !music.notes[i].tie_ends;
    }
    return music;
}

} // namespace bellhand::part
