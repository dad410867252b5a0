#include "core/calendar.h"
#include "logbook/footing_columns.h"
#include "logbook/heard_columns.h"
#include "logbook/sqlite_logbook.h"
#include "trainer/tolerance.h"

#include <cmath>

#include <sqlite3.h>

namespace bellhand::logbook {

std::optional<bool> NoteRecord::in_tune() const noexcept {
    return note.pitch_known() ? std::optional(std::abs(note.deviation_cents) <= tolerance_cents)
                              : std::nullopt;
}

Result<std::int64_t> SqliteLogbook::begin_session(const SessionRecord& session) {
    Statement statement(database_.handle(),
                        "INSERT INTO session (started_at, input, crook, a4_hz, temperament, root, "
                        "anchor, enharmonic, "
                        "day) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, "
                        "CAST(julianday(?1, 'localtime', 'start of day') - 2440587.5 AS INTEGER))");
    statement.bind(session.started_at.empty() ? calendar::now_utc() : session.started_at)
        .bind(session.input)
        .bind(session.crook)
        .bind(session.a4_hz)
        .bind(session.temperament);
    bind_footing(statement, session.footing);
    if (auto done = finish(statement); !done) {
        return tl::unexpected<Error>(done.error());
    }
    return sqlite3_last_insert_rowid(database_.handle());
}

Result<void> SqliteLogbook::put_note(std::int64_t session,
                                     const horn::Tuning& tuning,
                                     const trainer::PlayedNote& note) {
    return together([&] { return write_note(session, tuning, note); });
}

Result<void> SqliteLogbook::write_note(std::int64_t session,
                                       const horn::Tuning& tuning,
                                       const trainer::PlayedNote& note) {
    // What was counted of this note goes, what is known of it now comes.
    const Numbers this_one{note.index, note.index};
    bool known = false;
    bool counted = false;
    {
        Statement before(database_.handle(),
                         "SELECT finished FROM note WHERE session_id = ? AND number = ?");
        before.bind(session).bind(std::int64_t{note.index});
        auto read = for_rows(before, [&](const Statement& row) {
            known = true;
            counted = row.integer(0) != 0;
        });
        if (read && counted) {
            read = count_notes(session, this_one, -1).and_then([&] {
                return count_time(session, this_one, -1);
            });
        }
        if (!read) {
            return read;
        }
    }
    static const std::string kReplace =
        std::string("REPLACE INTO note (id, session_id, number, start_s, duration_s, crook, a4_hz, "
                    "temperament, written, partial, hand, f0_hz, target_hz, deviation_cents, "
                    "spread_cents, attack_cents, level_dbfs, finished, written_number, "
                    "tolerance_cents, root, anchor, enharmonic, known_within_cents, ") +
        kHeardColumns +
        ") VALUES ((SELECT id FROM note WHERE session_id = ?1 AND number = ?2), "
        "?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,?13,?14,?15,?16,?17,?18,?19,?20,?21,?22,?23,?24,"
        "?25,?26,?27,?28,?29,?30,?31,?32,?33,?34,?35,?36,?37,?38,?39,?40)";
    Statement put(database_.handle(), kReplace);
    put.bind(session)
        .bind(std::int64_t{note.index})
        .bind(note.start_s)
        .bind(note.duration_s)
        .bind(std::string_view(tuning.crook.id))
        .bind(tuning.a4_hz)
        .bind(std::string_view(tuning.temperament.id))
        .bind(horn::ascii_name(note.written))
        .bind(std::int64_t{note.partial})
        .bind(std::string_view(horn::hand_id(note.hand)))
        .bind(note.f0_hz)
        .bind(note.target_hz)
        .bind(note.deviation_cents)
        .bind(note.spread_cents)
        .bind(note.attack_cents)
        .bind(note.level_dbfs)
        .bind(std::int64_t{note.finished ? 1 : 0})
        .bind(std::int64_t{note.written.number})
        .bind(note.tolerance_factor * trainer::tolerance_cents(note.hand));
    bind_footing(put, footing_record(tuning));
    put.bind(note.known_within_cents);
    bind_heard(put, note.heard);
    if (auto done = finish(put); !done) {
        return done;
    }
    Statement length(database_.handle(),
                     "UPDATE session SET duration_s = max(duration_s, ?), notes = notes + ? "
                     "WHERE id = ?");
    length.bind(note.start_s + note.duration_s).bind(std::int64_t{known ? 0 : 1}).bind(session);
    if (auto done = finish(length); !done || !note.finished) {
        return done;
    }
    return count_notes(session, this_one, 1).and_then([&] {
        return count_time(session, this_one, 1);
    });
}

Result<void> SqliteLogbook::end_session(std::int64_t session, double duration_s) {
    Statement statement(
        database_.handle(),
        "UPDATE session SET closed = 1, duration_s = max(duration_s, ?) WHERE id = ?");
    statement.bind(duration_s).bind(session);
    return finish(statement);
}

Result<std::vector<SessionRecord>> SqliteLogbook::session_list(const char* where_and_order) {
    Statement rows(database_.handle(),
                   std::string("SELECT id, started_at, duration_s, input, crook, a4_hz, "
                               "temperament, closed, notes, deleted_at, root, anchor, enharmonic "
                               "FROM session ") +
                       where_and_order);
    std::vector<SessionRecord> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        SessionRecord& record = records.emplace_back();
        record.id = row.integer(0);
        record.started_at = row.text(1);
        record.duration_s = row.real(2);
        record.input = row.text(3);
        record.crook = row.text(4);
        record.a4_hz = row.real(5);
        record.temperament = row.text(6);
        record.closed = row.integer(7) != 0;
        record.notes = row.integer(8);
        record.deleted_at = row.text(9);
        record.footing = footing_from(row, 10);
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

Result<std::vector<SessionRecord>> SqliteLogbook::sessions() {
    return session_list("WHERE deleted_at IS NULL ORDER BY id DESC");
}

Result<void> SqliteLogbook::check_session(std::int64_t session) {
    Statement found(database_.handle(), "SELECT deleted_at IS NOT NULL FROM session WHERE id = ?");
    const int code = found.bind(session).step();
    const std::string name = "session " + std::to_string(session);
    if (code == SQLITE_DONE) {
        return usage_error("There is no " + name +
                           " in the log; `bellhand log` lists those there are.");
    }
    if (code != SQLITE_ROW) {
        return tl::unexpected<Error>(database_.explain(code));
    }
    if (found.integer(0) != 0) {
        return usage_error("The " + name + " lies in the bin; `bellhand log undo " +
                           std::to_string(session) + "` takes it out.");
    }
    return {};
}

Result<std::vector<NoteRecord>> SqliteLogbook::notes(std::int64_t session) {
    if (auto there = check_session(session); !there) {
        return tl::unexpected<Error>(there.error());
    }
    Statement rows(
        database_.handle(),
        std::string("SELECT id, crook, a4_hz, temperament, tolerance_cents, number, start_s, "
                    "duration_s, written, partial, hand, f0_hz, target_hz, deviation_cents, "
                    "spread_cents, attack_cents, level_dbfs, finished, root, anchor, enharmonic, "
                    "known_within_cents, ") +
            kHeardColumns + " FROM note WHERE session_id = ? ORDER BY number");
    rows.bind(session);
    std::vector<NoteRecord> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        NoteRecord& record = records.emplace_back();
        record.id = row.integer(0);
        record.crook = row.text(1);
        record.a4_hz = row.real(2);
        record.temperament = row.text(3);
        record.tolerance_cents = row.real(4);
        trainer::PlayedNote& note = record.note;
        note.index = static_cast<std::uint32_t>(row.integer(5));
        note.start_s = row.real(6);
        note.duration_s = row.real(7);
        if (const auto written = horn::parse_note(row.text(8)); written) {
            note.written = *written;
        }
        note.partial = static_cast<int>(row.integer(9));
        note.hand = hand_from(row.text(10));
        note.f0_hz = row.real(11);
        note.target_hz = row.real(12);
        note.deviation_cents = row.real(13);
        note.spread_cents = row.real(14);
        note.attack_cents = row.real(15);
        note.level_dbfs = row.real(16);
        note.finished = row.integer(17) != 0;
        record.footing = footing_from(row, 18);
        note.known_within_cents = row.real(21);
        note.heard = heard_from(row, 22);
        note.heard.advice.deviation_cents = note.deviation_cents;
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

} // namespace bellhand::logbook
