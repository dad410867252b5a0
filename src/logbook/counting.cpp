// Sums that every write keeps up to date, so that looking back on ten years does not read ten years of notes.
//
// Deviations are counted in bins of a cent: a median from them is off by less than a cent, counts can be taken back
// when a note is replaced or a session deleted (which no running median can), and no note is read again.
#include "logbook/sqlite_logbook.h"

#include <sqlite3.h>

namespace bellhand::logbook {

namespace {

// A pitch that is known only roughly counts in no figure of pitch: 10 is `PlayedNote::pitch_known` in SQL.
static_assert(trainer::PlayedNote::kPitchKnown_cents == 10.0);

constexpr const char* kCountKinds =
    "INSERT INTO note_tally SELECT note.crook, written_number, hand, "
    "CAST(round(max(min(deviation_cents, 100), -100)) AS INTEGER), ?4 * count(*), "
    "?4 * sum(abs(deviation_cents) <= tolerance_cents) FROM session JOIN note ON session_id = "
    "session.id WHERE session.id = ?1 AND deleted_at IS NULL AND number BETWEEN ?2 AND ?3 AND "
    "finished AND known_within_cents <= 10 GROUP BY 1, 2, 3, 4 "
    "ON CONFLICT DO UPDATE SET notes = notes + excluded.notes, in_tune = in_tune + "
    "excluded.in_tune";

constexpr const char* kCountWeeks =
    "INSERT INTO week_tally SELECT 7 * ((day + 3) / 7) - 3, note.crook, "
    "CAST(round(max(min(deviation_cents, 100), -100)) AS INTEGER), ?4 * count(*), "
    "?4 * sum(abs(deviation_cents) <= tolerance_cents) FROM session JOIN note ON session_id = "
    "session.id WHERE session.id = ?1 AND deleted_at IS NULL AND number BETWEEN ?2 AND ?3 AND "
    "finished AND known_within_cents <= 10 GROUP BY 1, 2, 3 "
    "ON CONFLICT DO UPDATE SET notes = notes + excluded.notes, in_tune = in_tune + "
    "excluded.in_tune";

// A note is the end of one transition and the beginning of the next: of the notes first..last, those to first..last + 1.
constexpr const char* kCountTransitions =
    "INSERT INTO transition_tally SELECT b.crook, a.written_number, a.hand, b.written_number, "
    "b.hand, ?4 * count(*), ?4 * sum(abs(b.deviation_cents) <= b.tolerance_cents), "
    "?4 * sum(min(abs(b.deviation_cents), 100)) FROM session JOIN note b ON b.session_id = "
    "session.id JOIN note a ON a.session_id = b.session_id AND a.number = b.number - 1 "
    "WHERE session.id = ?1 AND deleted_at IS NULL AND b.number BETWEEN ?2 AND ?3 + 1 AND "
    "a.finished AND b.finished AND b.known_within_cents <= 10 AND a.crook = b.crook AND "
    "b.start_s - a.start_s - a.duration_s <= ?5 AND (a.written_number <> b.written_number OR "
    "a.hand <> b.hand) GROUP BY 1, 2, 3, 4, 5 "
    "ON CONFLICT DO UPDATE SET times = times + excluded.times, in_tune = in_tune + "
    "excluded.in_tune, off_cents_sum = off_cents_sum + excluded.off_cents_sum";

constexpr const char* kCountTime =
    "UPDATE session SET (playing_s, rest_s) = (SELECT "
    "playing_s + ?4 * total(CASE WHEN number <= ?3 THEN duration_s ELSE 0 END + "
    "CASE WHEN gap_s > 0 AND gap_s < ?5 THEN gap_s ELSE 0 END), "
    "rest_s + ?4 * total(CASE WHEN gap_s >= ?5 THEN gap_s ELSE 0 END) FROM "
    "(SELECT b.number, b.duration_s, b.start_s - a.start_s - a.duration_s AS gap_s FROM note b "
    "LEFT JOIN note a ON a.session_id = b.session_id AND a.number = b.number - 1 AND a.finished "
    "WHERE b.session_id = ?1 AND b.number BETWEEN ?2 AND ?3 + 1 AND b.finished)) WHERE id = ?1";

constexpr const char* kCountSteps =
    "INSERT INTO step_tally SELECT exercise, asked_number, asked_hand, extra, faults, ?4 * "
    "count(*) FROM "
    "session JOIN block ON session_id = session.id JOIN step ON block_id = block.id "
    "WHERE session.id = ?1 AND deleted_at IS NULL AND block.number BETWEEN ?2 AND ?3 AND "
    "step.number BETWEEN ?5 AND ?6 AND (note_number IS NOT NULL OR faults <> '') "
    "GROUP BY 1, 2, 3, 4, 5 "
    "ON CONFLICT DO UPDATE SET steps = steps + excluded.steps";

} // namespace

Result<void> SqliteLogbook::count_notes(std::int64_t session, Numbers notes, int sign) {
    for (const char* sql : {kCountKinds, kCountWeeks}) {
        Statement count(database_.handle(), sql);
        count.bind(session).bind(notes.first).bind(notes.last).bind(std::int64_t{sign});
        if (auto done = finish(count); !done) {
            return done;
        }
    }
    Statement transitions(database_.handle(), kCountTransitions);
    transitions.bind(session)
        .bind(notes.first)
        .bind(notes.last)
        .bind(std::int64_t{sign})
        .bind(kTransitionGap_s);
    return finish(transitions);
}

Result<void> SqliteLogbook::count_time(std::int64_t session, Numbers notes, int sign) {
    Statement time(database_.handle(), kCountTime);
    time.bind(session).bind(notes.first).bind(notes.last).bind(std::int64_t{sign}).bind(kRest_s);
    return finish(time);
}

Result<void>
SqliteLogbook::count_steps(std::int64_t session, Numbers blocks, Numbers steps, int sign) {
    Statement count(database_.handle(), kCountSteps);
    count.bind(session)
        .bind(blocks.first)
        .bind(blocks.last)
        .bind(std::int64_t{sign})
        .bind(steps.first)
        .bind(steps.last);
    return finish(count);
}

} // namespace bellhand::logbook
