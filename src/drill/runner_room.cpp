// What a room that rings between notes does not let hear apart.
#include "drill/runner_state.h"

#include <algorithm>
#include <cmath>

namespace bellhand::drill {

namespace {

constexpr double kSoundsThrough = 0.4;    // of a note, before it may be one with the note before
constexpr double kStill_db = 8.0;         // below the softer neighbour: nothing was played
constexpr double kTimePassed = 0.3;       // share by which it may be shorter or longer than written
constexpr std::uint32_t kMostDrowned = 2; // steps in a row

} // namespace

bool Runner::State::drowned(const Aligned& played, std::uint32_t skipped) const {
    const double quarter = quarter_now_s();
    const bool after_it = before && before->asked + skipped + 1U == played.asked;
    if (skipped == 0 || skipped > kMostDrowned || played.note == 0 || !after_it ||
        !(quarter > 0.0)) {
        return false;
    }
    const trainer::PlayedNote& after = notes[played.note % kNotes];
    const trainer::PlayedNote& last = notes[(played.note - 1U) % kNotes];
    const std::vector<Asked>& plan = follower->plan();
    const double asked_s =
        (plan[played.asked].at_quarters - plan[played.asked - skipped - 1U].at_quarters) * quarter;
    if (!after.in_ringing_room ||
        std::fabs(after.start_s - last.start_s - asked_s) > kTimePassed * asked_s) {
        return false;
    }
    const auto quietest_dbfs = levels.quietest_dbfs(last.start_s, after.start_s);
    return quietest_dbfs &&
           *quietest_dbfs > std::min(last.level_dbfs, after.level_dbfs) - kStill_db;
}

bool Runner::State::mistaken(const Asked& asked, const trainer::PlayedNote& note) const {
    return asked.manner == Manner::plain && mistaken_in_room(asked.target_hz, note);
}

std::uint32_t Runner::State::sounds_through(std::uint32_t asked,
                                            const trainer::PlayedNote& note) const {
    const std::vector<Asked>& plan = follower->plan();
    const double quarter = quarter_now_s();
    std::uint32_t last = asked;
    while (note.in_ringing_room && quarter > 0.0 && last + 1U < plan.size()) {
        const Asked& next = plan[last + 1U];
        const double until_quarters =
            next.at_quarters + kSoundsThrough * next.quarters - plan[asked].at_quarters;
        if (!same_pitch(plan[last], next) || next.manner != Manner::plain ||
            note.duration_s < until_quarters * quarter) {
            break;
        }
        ++last;
    }
    return last - asked;
}

std::uint32_t Runner::State::begins_at(const Aligned& played, std::uint32_t skipped) const {
    const trainer::PlayedNote& note = notes[played.note % kNotes];
    std::uint32_t first = played.asked - std::min(skipped, played.asked);
    while (first < played.asked && sounds_through(first, note) < played.asked - first) {
        ++first;
    }
    return first;
}

} // namespace bellhand::drill
