#pragma once

#include "drill/judgement.h"
#include "horn/hand_chart.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::logbook {

/// Days of the local calendar since 1970-01-01, both included.
struct Days {
    std::int64_t first = 0;
    std::int64_t last = 0;
};

/// How many finished notes lay within half a cent of `cents` (beyond 100 cents: at 100), and how many of them were in
/// tune.
struct Bin {
    int cents = 0;
    std::int64_t notes = 0;
    std::int64_t in_tune = 0;
};
/// Bins by rising cents, empty ones left out.
using Bins = std::vector<Bin>;

/// All notes of one kind.
struct NoteTally {
    std::string crook;
    int written = 60;
    horn::Hand hand = horn::Hand::open;
    Bins bins;
};

/// What a trend is cut into.
enum class Slice { session, day, week };

/// All notes on one crook in one slice of time.
struct TrendTally {
    std::int64_t slice = 0; ///< id of the session; the day; the week's Monday as a day
    std::string crook;
    Bins bins;
};

/// Two notes in a row on one crook, the second at most `kTransitionGap_s` after the first.
struct TransitionTally {
    std::string crook;
    int from_written = 60;
    horn::Hand from_hand = horn::Hand::open;
    int written = 60;
    horn::Hand hand = horn::Hand::open;
    std::int64_t times = 0;
    std::int64_t in_tune = 0;   ///< the second note
    double off_cents_sum = 0.0; ///< of the second note, without its sign, each at most 100
};

/// Practice on one day.
struct DaySums {
    std::int64_t day = 0;
    std::int64_t sessions = 0;
    std::int64_t notes = 0;
    double practice_s = 0.0; ///< from start to stop
    double playing_s = 0.0;  ///< notes with the short gaps between them
    double rest_s = 0.0;     ///< pauses of `kRest_s` or more between notes
};

/// Judged steps of one exercise that asked for the same note and had the same faults (none: good ones).
struct StepTally {
    std::string exercise; ///< id
    std::string title;    ///< as it was last called
    int asked = 60;
    horn::Hand asked_hand = horn::Hand::open;
    bool extra = false; ///< notes that nothing asked for; `asked` is what was asked next
    std::vector<drill::Fault> faults;
    std::int64_t steps = 0;
};

/// Longer apart, the second note is a new beginning (this program's choice).
inline constexpr double kTransitionGap_s = 1.5;
/// A shorter pause is a breath, no rest (this program's choice).
inline constexpr double kRest_s = 5.0;

} // namespace bellhand::logbook
