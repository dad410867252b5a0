#include "report/export_rows.h"

#include "logbook/fault_list.h"
#include "logbook/heard_columns.h"

#include <array>

namespace bellhand::report {

namespace {

constexpr std::array kTables{Table::sessions,
                             Table::blocks,
                             Table::notes,
                             Table::steps,
                             Table::takes,
                             Table::comments,
                             Table::crook_changes};

constexpr std::array kSessionColumns{"session",
                                     "started_at",
                                     "duration_s",
                                     "notes",
                                     "input",
                                     "crook",
                                     "a4_hz",
                                     "temperament",
                                     "closed",
                                     "root",
                                     "anchor",
                                     "enharmonic"};
constexpr std::array kBlockColumns{
    "session", "block",       "exercise",      "title",     "why",        "crook",
    "a4_hz",   "temperament", "start_s",       "planned_s", "duration_s", "planned_rest_s",
    "rest_s",  "homework",    "homework_part", "finished",  "steps",      "good_steps",
    "root",    "anchor",      "enharmonic"};
constexpr std::array kNoteColumns{"session",
                                  "note",
                                  "start_s",
                                  "duration_s",
                                  "crook",
                                  "a4_hz",
                                  "temperament",
                                  "written",
                                  "partial",
                                  "hand",
                                  "f0_hz",
                                  "target_hz",
                                  "deviation_cents",
                                  "spread_cents",
                                  "attack_cents",
                                  "level_dbfs",
                                  "tolerance_cents",
                                  "in_tune",
                                  "finished",
                                  "heard_hand",
                                  "closure",
                                  "closure_low",
                                  "closure_high",
                                  "hand_confidence",
                                  "advice",
                                  "hand_cents",
                                  "lips_cents",
                                  "advice_confidence",
                                  "match_loudness_db",
                                  "match_octaves",
                                  "uneven_db",
                                  "unsteady_cents",
                                  "drift_cents_per_s",
                                  "tremor_cents",
                                  "tremor_hz",
                                  "sway",
                                  "root",
                                  "anchor",
                                  "enharmonic",
                                  "known_within_cents"};
constexpr std::array kStepColumns{"session",
                                  "block",
                                  "number",
                                  "step",
                                  "pass",
                                  "asked",
                                  "asked_hand",
                                  "note",
                                  "held_cents",
                                  "attack_cents",
                                  "tolerance_cents",
                                  "timing_s",
                                  "level_db",
                                  "good",
                                  "faults",
                                  "part",
                                  "extra"};
constexpr std::array kTakeColumns{
    "session", "take", "block", "file", "start_s", "duration_s", "bytes", "kept", "why"};
constexpr std::array kCommentColumns{
    "session", "comment", "take", "note", "who", "at_s", "written_at", "text"};
constexpr std::array kCrookChangeColumns{
    "session",     "number",        "set_list", "item",          "crook",
    "a4_hz",       "temperature_c", "horn",     "pieces_before", "pieces_right",
    "pieces_said", "slide_m",       "stands",   "off_cents",     "off_sd_cents",
    "change_s",    "estimate_s",    "rest_s",   "right",         "verdict"};

std::int64_t whole(std::uint32_t number) noexcept {
    return number;
}

template <typename T>
Cell or_nothing(const std::optional<T>& value) {
    if (!value) {
        return {};
    }
    if constexpr (std::is_same_v<T, std::uint32_t>) {
        return whole(*value);
    } else {
        return *value;
    }
}

void add_footing(Row& row, const logbook::FootingRecord& footing) {
    for (const std::string& id : {footing.root, footing.anchor, footing.enharmonic}) {
        row.push_back(id.empty() ? Cell{} : Cell(id)); // older logs did not keep it
    }
}

Row session_cells(const logbook::SessionRecord& session) {
    Row row{session.id,
            session.started_at,
            session.duration_s,
            session.notes,
            session.input,
            session.crook,
            session.a4_hz,
            session.temperament,
            session.closed};
    add_footing(row, session.footing);
    return row;
}

Row block_cells(const logbook::BlockRecord& block) {
    Row row{block.session,
            whole(block.number),
            block.exercise,
            block.title,
            block.why,
            block.crook,
            block.a4_hz,
            block.temperament,
            block.start_s,
            block.planned_s,
            block.duration_s,
            block.planned_rest_s,
            block.rest_s,
            block.homework};
    row.push_back(block.homework.empty() ? Cell{} : Cell(std::int64_t{block.homework_part}));
    row.insert(row.end(), {block.finished, block.steps, block.good_steps});
    add_footing(row, block.footing);
    return row;
}

Row note_cells(std::int64_t session, const logbook::NoteRecord& record) {
    const trainer::PlayedNote& note = record.note;
    Row row{session,
            whole(note.index),
            note.start_s,
            note.duration_s,
            record.crook,
            record.a4_hz,
            record.temperament,
            horn::ascii_name(note.written),
            std::int64_t{note.partial},
            horn::hand_id(note.hand),
            note.f0_hz,
            note.target_hz,
            note.deviation_cents,
            note.spread_cents,
            note.attack_cents,
            note.level_dbfs,
            record.tolerance_cents,
            or_nothing(record.in_tune()),
            note.finished};
    const hand::NoteHand& heard = note.heard;
    const auto add = [&](bool known, std::initializer_list<Cell> cells) {
        for (const Cell& cell : cells) {
            row.push_back(known ? cell : Cell{});
        }
    };
    const hand::Position& position = heard.estimate.position;
    add(position.known,
        {horn::hand_id(position.degree),
         position.closure,
         position.low,
         position.high,
         position.confidence});
    add(heard.heard,
        {logbook::advice_id(heard.advice.kind),
         heard.advice.hand_cents,
         heard.advice.lips_cents,
         heard.advice.confidence});
    add(heard.match.known,
        {heard.match.loudness_db, heard.match.centroid_octaves, heard.match.uneven_db});
    add(heard.steadiness.known,
        {heard.steadiness.unsteady_cents,
         heard.steadiness.drift_cents_per_s,
         heard.steadiness.tremor_cents,
         heard.steadiness.tremor_hz,
         logbook::sway_id(heard.steadiness.sway)});
    add_footing(row, record.footing);
    row.emplace_back(note.known_within_cents);
    return row;
}

Row step_cells(std::int64_t session, std::uint32_t block, const logbook::JudgedStep& step) {
    const drill::Judgement& judged = step.judgement;
    Row row{session,
            whole(block),
            whole(step.number),
            whole(judged.step),
            whole(judged.pass),
            horn::ascii_name(step.asked),
            horn::hand_id(step.asked_hand)};
    if (judged.played) {
        row.insert(row.end(), {whole(judged.note.index), judged.held_cents, judged.attack_cents});
    } else {
        row.insert(row.end(), {Cell{}, Cell{}, Cell{}});
    }
    row.insert(row.end(),
               {judged.tolerance_cents,
                or_nothing(judged.timing_s),
                or_nothing(judged.level_db),
                judged.good(),
                logbook::fault_list(judged.faults),
                whole(judged.part),
                judged.extra});
    return row;
}

Row take_cells(const logbook::TakeRecord& take) {
    return {take.session,
            take.id,
            or_nothing(take.block),
            take.file,
            take.start_s,
            take.duration_s,
            take.bytes,
            take.kept,
            take.why};
}

Row comment_cells(const logbook::CommentRecord& comment) {
    return {comment.session,
            comment.id,
            or_nothing(comment.take),
            or_nothing(comment.note),
            logbook::who_id(comment.who),
            comment.at_s,
            comment.written_at,
            comment.text};
}

Row crook_change_cells(const logbook::CrookChangeRecord& change) {
    return {change.session,
            whole(change.number),
            change.set_list,
            change.item,
            change.crook,
            change.a4_hz,
            change.temperature_c,
            change.horn,
            or_nothing(change.pieces_before),
            change.pieces_right,
            or_nothing(change.pieces_said),
            change.slide_m,
            or_nothing(change.stands),
            or_nothing(change.off_cents),
            or_nothing(change.off_sd_cents),
            change.change_s,
            or_nothing(change.estimate_s),
            or_nothing(change.rest_s),
            change.correct,
            change.verdict};
}

template <typename Records, typename Cells>
Result<std::vector<Row>> rows_from(const Result<Records>& records, const Cells& cells) {
    if (!records) {
        return tl::unexpected<Error>(records.error());
    }
    std::vector<Row> rows;
    rows.reserve(records->size());
    for (const auto& record : *records) {
        rows.push_back(cells(record));
    }
    return rows;
}

} // namespace

std::span<const Table> all_tables() noexcept {
    return kTables;
}

const char* table_id(Table table) noexcept {
    switch (table) {
    case Table::sessions:
        return "sessions";
    case Table::blocks:
        return "blocks";
    case Table::notes:
        return "notes";
    case Table::steps:
        return "steps";
    case Table::takes:
        return "takes";
    case Table::comments:
        return "comments";
    case Table::crook_changes:
        break;
    }
    return "crook_changes";
}

Result<Table> parse_table(std::string_view text) {
    std::string known;
    for (const Table table : kTables) {
        if (text == table_id(table)) {
            return table;
        }
        known += known.empty() ? "" : ", ";
        known += table_id(table);
    }
    return usage_error("\"" + std::string(text) + "\" is no table of the log: there are " + known +
                       ".");
}

std::span<const char* const> columns_of(Table table) noexcept {
    switch (table) {
    case Table::sessions:
        return kSessionColumns;
    case Table::blocks:
        return kBlockColumns;
    case Table::notes:
        return kNoteColumns;
    case Table::steps:
        return kStepColumns;
    case Table::takes:
        return kTakeColumns;
    case Table::comments:
        return kCommentColumns;
    case Table::crook_changes:
        break;
    }
    return kCrookChangeColumns;
}

Result<std::vector<Row>>
rows_of(logbook::Logbook& log, Table table, const logbook::SessionRecord& session) {
    switch (table) {
    case Table::sessions:
        return std::vector<Row>{session_cells(session)};
    case Table::blocks:
        return rows_from(log.blocks(session.id), block_cells);
    case Table::notes:
        return rows_from(log.notes(session.id), [&](const logbook::NoteRecord& record) {
            return note_cells(session.id, record);
        });
    case Table::steps: {
        const auto blocks = log.blocks(session.id);
        if (!blocks) {
            return tl::unexpected<Error>(blocks.error());
        }
        return rows_from(log.steps(session.id), [&](const logbook::JudgedStep& step) {
            for (const logbook::BlockRecord& block : *blocks) {
                if (block.id == step.block) {
                    return step_cells(session.id, block.number, step);
                }
            }
            return step_cells(
                session.id, 0, step); // the foreign key leaves no step without its block
        });
    }
    case Table::takes:
        return rows_from(log.takes(session.id), take_cells);
    case Table::comments:
        return rows_from(log.comments(session.id), comment_cells);
    case Table::crook_changes:
        break;
    }
    return rows_from(log.crook_changes(session.id), crook_change_cells);
}

} // namespace bellhand::report
