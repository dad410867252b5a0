#pragma once

#include "core/result.h"
#include "horn/hand_chart.h"
#include "horn/note.h"
#include "logbook/logbook.h"
#include "progress/distribution.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::progress {

/// How far back to look: one day, the seven days up to it, the whole log.
enum class Range { day, week, all };
/// "day", "week", "all".
[[nodiscard]] const char* range_id(Range range) noexcept;
/// Errors (usage): none of the three.
[[nodiscard]] Result<Range> parse_range(std::string_view text);

/// The days of a range that ends on `last_day` (`today()` in general); empty for the whole log.
[[nodiscard]] std::optional<logbook::Days> days_of(Range range, std::int64_t last_day) noexcept;

/// A written note under one hand position.
struct NoteFigures {
    horn::Note written;
    horn::Hand hand = horn::Hand::open;
    Figures figures;
};

/// One crook's notes, rising, open hand first.
struct CrookMap {
    std::string crook; ///< id
    std::string label; ///< "E♭": for people
    Figures figures;   ///< of all of them
    std::vector<NoteFigures> notes;
};

/// One point of the trend: a session of the day, a day of the week, a week of the whole log.
struct TrendPoint {
    std::int64_t first_day = 0;
    int days = 1;
    std::int64_t session = 0; ///< id, where the point is one session
    std::string label;        ///< "11:11", "Sun 1 Mar", "1 Mar 2026"
    Figures figures;
};

/// From one note to another.
struct Transition {
    std::string crook; ///< id
    horn::Note from;
    horn::Hand from_hand = horn::Hand::open;
    horn::Note to;
    horn::Hand to_hand = horn::Hand::open;
    std::int64_t times = 0;
    double right_share = 0.0; ///< of the second note
    double off_cents = 0.0; ///< mean distance of the second note from its target, each at most 100
};

/// Minutes. Rest is advised as long as was played (common practice, no source).
struct PracticeTime {
    std::int64_t sessions = 0;
    double practice_s = 0.0;
    double playing_s = 0.0;
    double rest_s = 0.0;                ///< pauses of five seconds or more within sessions
    double rest_advised_s = 0.0;        ///< as long as was played
    std::vector<logbook::DaySums> days; ///< with practice, rising
};

/// One fault on one asked note of an exercise.
struct FaultFigures {
    horn::Note asked;
    horn::Hand hand = horn::Hand::open;
    drill::Fault fault = drill::Fault::missed;
    std::int64_t times = 0;
    std::int64_t of = 0; ///< times the note was asked
};

struct ExerciseFigures {
    std::string id;
    std::string title;
    std::int64_t steps = 0;
    std::int64_t good = 0;
    std::int64_t extra = 0;           ///< notes that nothing asked for
    std::vector<FaultFigures> faults; ///< most frequent first
};

/// The crook-change drill.
struct CrookChangeFigures {
    std::int64_t changes = 0;
    std::int64_t right = 0;
    double median_s = 0.0; ///< of the right ones
};

/// What the log says about a stretch of time. Every member alone is one of the functions below.
struct Progress {
    Range range = Range::week;
    std::optional<logbook::Days> days;
    std::vector<CrookMap> maps; ///< most played first
    Figures figures;            ///< of all notes
    std::vector<TrendPoint> trend;
    std::vector<Transition> hardest;
    PracticeTime time;
    std::vector<ExerciseFigures> exercises; ///< most judged first
    CrookChangeFigures crook_changes;
};

[[nodiscard]] Result<std::vector<CrookMap>> note_maps(logbook::Logbook& log,
                                                      const std::optional<logbook::Days>& days);
/// Of one crook, or of all (`crook` empty). Points rise in time; slices without notes are left out.
[[nodiscard]] Result<std::vector<TrendPoint>>
trend(logbook::Logbook& log, Range range, std::int64_t last_day, const std::string& crook = {});
/// At most `count`, hardest first: by a cautious estimate (`cautious_share`) of how often the second note was not in
/// tune; what was played less than `kFewestTransitions` times is left out.
[[nodiscard]] Result<std::vector<Transition>> hardest_transitions(
    logbook::Logbook& log, const std::optional<logbook::Days>& days, std::size_t count = 10);
inline constexpr std::int64_t kFewestTransitions = 4;
[[nodiscard]] Result<PracticeTime> practice_time(logbook::Logbook& log,
                                                 const std::optional<logbook::Days>& days);
[[nodiscard]] Result<std::vector<ExerciseFigures>>
exercise_figures(logbook::Logbook& log, const std::optional<logbook::Days>& days);

[[nodiscard]] Result<CrookChangeFigures>
crook_change_figures(logbook::Logbook& log, const std::optional<logbook::Days>& days);

/// All of it.
[[nodiscard]] Result<Progress> look_back(logbook::Logbook& log, Range range, std::int64_t last_day);

} // namespace bellhand::progress
