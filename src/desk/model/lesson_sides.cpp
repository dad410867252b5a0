#include "desk/model/lesson_sides.h"

#include "core/cents.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace bellhand::desk {

namespace {

bool same_pitch(const LessonNote& a, const LessonNote& b, double within_cents) {
    if (a.f0_hz <= 0.0 || b.f0_hz <= 0.0) {
        return a.written.number == b.written.number;
    }
    const double doubt_cents = std::max(a.known_within_cents, b.known_within_cents);
    return std::fabs(cents_between(a.f0_hz, b.f0_hz)) <= within_cents + doubt_cents;
}

double shared_s(double from_a, double to_a, double from_b, double to_b) {
    return std::max(0.0, std::min(to_a, to_b) - std::max(from_a, from_b));
}

/// The same note from beginning to end, so much later.
std::optional<Following>
whole(const LessonNote& note, const LessonNote& source, const EchoWays& ways) {
    const Following how{note.start_s - source.start_s, note.level_dbfs - source.level_dbfs};
    const double longer_s = note.duration_s - source.duration_s;
    const bool same = how.late_s >= ways.least_late_s && how.late_s <= ways.most_late_s &&
                      longer_s > -ways.same_length_s &&
                      longer_s < ways.same_length_s + ways.rings_s &&
                      same_pitch(note, source, ways.same_cents);
    return same ? std::optional(how) : std::nullopt;
}

bool as_usual(const Following& how, const EchoWays& ways) {
    return !ways.usual || (std::fabs(how.late_s - ways.usual->late_s) <= ways.as_usual_s &&
                           how.louder_db <= ways.usual->louder_db + ways.as_usual_db);
}

/// A piece of it, softer, that lies where it is due: something else covered the rest.
bool piece_of(const LessonNote& note, const LessonNote& source, const EchoWays& ways) {
    const double least_s = ways.usual ? ways.usual->late_s - ways.as_usual_s : ways.least_late_s;
    const double most_s = ways.usual ? ways.usual->late_s + ways.as_usual_s : ways.most_late_s;
    const double most_db = ways.usual ? ways.usual->louder_db + ways.as_usual_db : -ways.softer_db;
    const double due_s = shared_s(note.start_s,
                                  note.end_s(),
                                  source.start_s + least_s,
                                  source.end_s() + most_s + ways.rings_s);
    return note.start_s >= source.start_s + least_s && due_s >= ways.explained * note.duration_s &&
           note.duration_s <= source.duration_s &&
           note.end_s() <= source.end_s() + most_s + ways.rings_s &&
           note.level_dbfs - source.level_dbfs <= most_db &&
           same_pitch(note, source, 2.0 * ways.same_cents);
}

/// It begins to the moment when the echo is due, at the very same pitch. Gain riding blurs how loud an echo is, never
/// when it comes: on a way that is known so well loudness says little.
bool to_the_moment(const LessonNote& note, const LessonNote& source, const EchoWays& ways) {
    constexpr double kMoment_s = 0.025;
    constexpr double kVerySame_cents = 3.0;
    constexpr double kRidden_db = 15.0; // gain rides by 12 dB, and levels of notes are medians
    return ways.usual &&
           std::fabs(note.start_s - source.start_s - ways.usual->late_s) <= kMoment_s &&
           note.duration_s - source.duration_s <= ways.same_length_s + ways.rings_s &&
           note.level_dbfs - source.level_dbfs <= ways.usual->louder_db + kRidden_db &&
           same_pitch(note, source, kVerySame_cents);
}

} // namespace

std::optional<Following> following(const LessonNote& note,
                                   const std::vector<const LessonNote*>& others,
                                   const EchoWays& ways) {
    for (auto source = others.rbegin(); source != others.rend(); ++source) {
        if (const auto how = whole(note, **source, ways)) {
            return how;
        }
    }
    return std::nullopt;
}

bool is_echo(const LessonNote& note,
             const std::vector<const LessonNote*>& others,
             const EchoWays& ways) {
    return std::any_of(others.begin(), others.end(), [&](const LessonNote* source) {
        const auto how = whole(note, *source, ways);
        return (how && as_usual(*how, ways)) || piece_of(note, *source, ways) ||
               to_the_moment(note, *source, ways);
    });
}

std::optional<Following> usual_of(const std::vector<Following>& seen, const EchoWays& ways) {
    constexpr std::size_t kLately = 9;
    constexpr std::size_t kEnough = 3;
    const std::vector<Following> lately(
        seen.end() - static_cast<std::ptrdiff_t>(std::min(kLately, seen.size())), seen.end());
    // Where most of them lie together: those of a player who follows are spread.
    std::vector<Following> together;
    for (const Following& middle : lately) {
        std::vector<Following> near;
        std::copy_if(
            lately.begin(), lately.end(), std::back_inserter(near), [&](const Following& each) {
                return std::fabs(each.late_s - middle.late_s) <= 0.5 * ways.as_usual_s;
            });
        if (near.size() > together.size()) {
            together = near;
        }
    }
    if (together.size() < kEnough || 2 * together.size() < lately.size()) {
        return std::nullopt;
    }
    const auto middle = together.begin() + static_cast<std::ptrdiff_t>(together.size() / 2);
    const auto median = [&](double Following::*figure) {
        std::nth_element(together.begin(),
                         middle,
                         together.end(),
                         [&](const auto& a, const auto& b) { return a.*figure < b.*figure; });
        return (*middle).*figure;
    };
    return Following{median(&Following::late_s), median(&Following::louder_db)};
}

std::vector<LessonColumn> columns_of(const std::vector<LessonNote>& notes) {
    constexpr double kPhrase_s = 2.0; // of silence between two phrases
    constexpr double kTurn_s = 0.5;   // or so much while the other side plays
    struct Line {
        std::size_t phrase = 0;   ///< column where its phrase began
        std::size_t answered = 0; ///< columns before this one are answered, or passed over
        double end_s = -1e9;
        bool silent = true; ///< the other side played since
    };
    std::array<Line, 2> lines;
    std::vector<LessonColumn> columns;
    for (std::size_t i = 0; i < notes.size(); ++i) {
        const Side side = notes[i].side;
        Line& own = lines[place(side)];
        const Line& theirs = lines[place(other(side))];
        const bool begins = notes[i].start_s - own.end_s > (own.silent ? kTurn_s : kPhrase_s);
        // Who is in the middle of an answer goes on with it, whatever the other side begins meanwhile.
        std::size_t at = begins ? std::max(own.answered, theirs.phrase) : own.answered;
        while (at < columns.size() &&
               (columns[at].of(side) || !columns[at].of(other(side)) ||
                notes[*columns[at].of(other(side))].written.number != notes[i].written.number)) {
            ++at;
        }
        if (at == columns.size()) {
            columns.emplace_back();
        } else {
            own.answered = at + 1;
        }
        columns[at].of(side) = i;
        if (begins) {
            own.phrase = at;
        }
        own.silent = false;
        own.end_s = notes[i].end_s();
        lines[place(other(side))].silent = true;
    }
    return columns;
}

} // namespace bellhand::desk
