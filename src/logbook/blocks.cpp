#include "logbook/fault_list.h"
#include "logbook/footing_columns.h"
#include "logbook/sqlite_logbook.h"

#include <map>

#include <sqlite3.h>

namespace bellhand::logbook {

namespace {

std::optional<double> real_or_empty(const Statement& row, int column) {
    return row.null(column) ? std::nullopt : std::optional(row.real(column));
}

} // namespace

Result<void> SqliteLogbook::put_block(std::int64_t session, const BlockRecord& block) {
    const Numbers this_one{block.number, block.number};
    return together([&] {
        // Its steps are counted under the exercise, which may change.
        return count_steps(session, this_one, {}, -1)
            .and_then([&] { return write_block(session, block); })
            .and_then([&] { return count_steps(session, this_one, {}, 1); });
    });
}

Result<void> SqliteLogbook::write_block(std::int64_t session, const BlockRecord& block) {
    Statement put(
        database_.handle(),
        "INSERT INTO block (session_id, number, exercise, title, why, crook, a4_hz, temperament, "
        "start_s, planned_s, duration_s, planned_rest_s, rest_s, homework_id, homework_part, "
        "finished, root, anchor, enharmonic) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?) "
        "ON CONFLICT (session_id, number) DO UPDATE SET exercise = excluded.exercise, "
        "title = excluded.title, why = excluded.why, crook = excluded.crook, "
        "a4_hz = excluded.a4_hz, temperament = excluded.temperament, start_s = excluded.start_s, "
        "planned_s = excluded.planned_s, duration_s = excluded.duration_s, "
        "planned_rest_s = excluded.planned_rest_s, rest_s = excluded.rest_s, "
        "homework_id = excluded.homework_id, homework_part = excluded.homework_part, "
        "finished = excluded.finished, root = excluded.root, anchor = excluded.anchor, "
        "enharmonic = excluded.enharmonic");
    put.bind(session)
        .bind(std::int64_t{block.number})
        .bind(block.exercise)
        .bind(block.title)
        .bind(block.why)
        .bind(block.crook)
        .bind(block.a4_hz)
        .bind(block.temperament)
        .bind(block.start_s)
        .bind(block.planned_s)
        .bind(block.duration_s)
        .bind(block.planned_rest_s)
        .bind(block.rest_s)
        .bind(block.homework)
        .bind(std::int64_t{block.homework_part})
        .bind(std::int64_t{block.finished ? 1 : 0});
    bind_footing(put, block.footing);
    return finish(put);
}

Result<void>
SqliteLogbook::put_step(std::int64_t session, std::uint32_t block, const JudgedStep& step) {
    return together([&]() -> Result<void> {
        Statement found(database_.handle(),
                        "SELECT id FROM block WHERE session_id = ? AND number = ?");
        const int code = found.bind(session).bind(std::int64_t{block}).step();
        if (code == SQLITE_DONE) {
            return failure("The log has no block " + std::to_string(block) + " in session " +
                           std::to_string(session) + " to put a judgement into.");
        }
        if (code != SQLITE_ROW) {
            return tl::unexpected<Error>(database_.explain(code));
        }
        const std::int64_t id = found.integer(0);
        const Numbers this_block{block, block};
        const Numbers this_step{step.number, step.number};
        return count_steps(session, this_block, this_step, -1)
            .and_then([&] { return write_step(id, step); })
            .and_then([&] { return count_steps(session, this_block, this_step, 1); });
    });
}

Result<void> SqliteLogbook::write_step(std::int64_t block, const JudgedStep& step) {
    const drill::Judgement& judged = step.judgement;
    Statement put(
        database_.handle(),
        "INSERT INTO step (block_id, number, step, pass, asked, asked_number, asked_hand, "
        "note_number, held_cents, attack_cents, tolerance_cents, timing_s, level_db, faults, part, "
        "extra) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?) ON CONFLICT (block_id, number) DO UPDATE "
        "SET "
        "step = excluded.step, pass = excluded.pass, asked = excluded.asked, "
        "asked_number = excluded.asked_number, asked_hand = excluded.asked_hand, "
        "note_number = excluded.note_number, held_cents = excluded.held_cents, "
        "attack_cents = excluded.attack_cents, tolerance_cents = excluded.tolerance_cents, "
        "timing_s = excluded.timing_s, level_db = excluded.level_db, faults = excluded.faults, "
        "part = excluded.part, extra = excluded.extra");
    put.bind(block)
        .bind(std::int64_t{step.number})
        .bind(std::int64_t{judged.step})
        .bind(std::int64_t{judged.pass})
        .bind(horn::ascii_name(step.asked))
        .bind(std::int64_t{step.asked.number})
        .bind(std::string_view(horn::hand_id(step.asked_hand)))
        .bind(judged.played ? std::optional(std::int64_t{judged.note.index}) : std::nullopt)
        .bind(judged.held_cents)
        .bind(judged.attack_cents)
        .bind(judged.tolerance_cents)
        .bind(judged.timing_s)
        .bind(judged.level_db)
        .bind(fault_list(judged.faults))
        .bind(std::int64_t{judged.part})
        .bind(std::int64_t{judged.extra ? 1 : 0});
    if (auto done = finish(put); !done) {
        return done;
    }
    Statement count(
        database_.handle(),
        "UPDATE block SET steps = (SELECT count(*) FROM step WHERE block_id = ?1 AND NOT "
        "extra AND (note_number IS NOT NULL OR faults <> '')), "
        "good_steps = (SELECT count(*) FROM step WHERE block_id = ?1 AND faults = '' AND NOT "
        "extra AND note_number IS NOT NULL) "
        "WHERE id = ?1");
    count.bind(block);
    return finish(count);
}

Result<std::vector<BlockRecord>> SqliteLogbook::blocks(std::int64_t session) {
    if (auto there = check_session(session); !there) {
        return tl::unexpected<Error>(there.error());
    }
    Statement rows(
        database_.handle(),
        "SELECT id, session_id, number, exercise, title, why, crook, a4_hz, "
        "temperament, start_s, planned_s, duration_s, planned_rest_s, rest_s, "
        "homework_id, homework_part, finished, steps, good_steps, root, anchor, enharmonic "
        "FROM block WHERE session_id = ? ORDER BY number");
    rows.bind(session);
    std::vector<BlockRecord> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        BlockRecord& block = records.emplace_back();
        block.id = row.integer(0);
        block.session = row.integer(1);
        block.number = static_cast<std::uint32_t>(row.integer(2));
        block.exercise = row.text(3);
        block.title = row.text(4);
        block.why = row.text(5);
        block.crook = row.text(6);
        block.a4_hz = row.real(7);
        block.temperament = row.text(8);
        block.start_s = row.real(9);
        block.planned_s = row.real(10);
        block.duration_s = row.real(11);
        block.planned_rest_s = row.real(12);
        block.rest_s = row.real(13);
        block.homework = row.text(14);
        block.homework_part = static_cast<int>(row.integer(15));
        block.finished = row.integer(16) != 0;
        block.steps = row.integer(17);
        block.good_steps = row.integer(18);
        block.footing = footing_from(row, 19);
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

Result<std::vector<JudgedStep>> SqliteLogbook::steps(std::int64_t session) {
    const auto played = notes(session);
    if (!played) {
        return tl::unexpected<Error>(played.error());
    }
    std::map<std::uint32_t, const trainer::PlayedNote*> by_index;
    for (const NoteRecord& record : *played) {
        by_index[record.note.index] = &record.note;
    }
    Statement rows(
        database_.handle(),
        "SELECT step.id, block_id, step.number, step, pass, asked, asked_hand, "
        "note_number, held_cents, attack_cents, tolerance_cents, timing_s, level_db, "
        "faults, part, extra FROM block JOIN step ON block_id = block.id WHERE session_id = ? "
        "ORDER BY block.number, step.number");
    rows.bind(session);
    std::vector<JudgedStep> records;
    auto read = for_rows(rows, [&](const Statement& row) {
        JudgedStep& record = records.emplace_back();
        record.id = row.integer(0);
        record.block = row.integer(1);
        record.number = static_cast<std::uint32_t>(row.integer(2));
        drill::Judgement& judged = record.judgement;
        judged.step = static_cast<std::uint32_t>(row.integer(3));
        judged.pass = static_cast<std::uint32_t>(row.integer(4));
        if (const auto asked = horn::parse_note(row.text(5)); asked) {
            record.asked = *asked;
        }
        record.asked_hand = hand_from(row.text(6));
        judged.played = !row.null(7);
        if (judged.played) {
            judged.note.index = static_cast<std::uint32_t>(row.integer(7));
            if (const auto note = by_index.find(judged.note.index); note != by_index.end()) {
                judged.note = *note->second;
            }
        }
        judged.held_cents = row.real(8);
        judged.attack_cents = row.real(9);
        judged.tolerance_cents = row.real(10);
        judged.timing_s = real_or_empty(row, 11);
        judged.level_db = real_or_empty(row, 12);
        judged.faults = faults_from(row.view(13));
        judged.part = static_cast<std::uint32_t>(row.integer(14));
        judged.extra = row.integer(15) != 0;
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return records;
}

} // namespace bellhand::logbook
