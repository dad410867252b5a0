#include "cli/note_rows.h"

#include <fmt/format.h>

namespace bellhand::cli {

std::vector<Column> note_columns() {
    return {{"start_s", true},
            {"duration_s", true},
            {"written"},
            {"partial", true},
            {"hand"},
            {"f0_hz", true},
            {"deviation_cents", true},
            {"spread_cents", true},
            {"level_dbfs", true}};
}

std::vector<std::string> note_row(const trainer::PlayedNote& note) {
    return {fmt::format("{:.3f}", note.start_s),
            fmt::format("{:.3f}", note.duration_s),
            horn::ascii_name(note.written),
            std::to_string(note.partial),
            horn::hand_id(note.hand),
            fmt::format("{:.4f}", note.f0_hz),
            fmt::format("{:.2f}", note.deviation_cents),
            fmt::format("{:.2f}", note.spread_cents),
            fmt::format("{:.2f}", note.level_dbfs)};
}

std::vector<Column> logged_note_columns() {
    std::vector<Column> columns = note_columns();
    const Column more[] = {{"target_hz", true},
                           {"attack_cents", true},
                           {"crook"},
                           {"a4_hz", true},
                           {"temperament"},
                           {"finished"},
                           {"known_within_cents", true}};
    columns.insert(columns.end(), std::begin(more), std::end(more));
    return columns;
}

std::vector<std::string> logged_note_row(const logbook::NoteRecord& record) {
    std::vector<std::string> row = note_row(record.note);
    row.push_back(fmt::format("{:.4f}", record.note.target_hz));
    row.push_back(fmt::format("{:.2f}", record.note.attack_cents));
    row.push_back(record.crook);
    row.push_back(fmt::format("{:.2f}", record.a4_hz));
    row.push_back(record.temperament);
    row.emplace_back(record.note.finished ? "yes" : "no");
    row.push_back(fmt::format("{:.1f}", record.note.known_within_cents));
    return row;
}

std::vector<Column> session_columns() {
    return {{"session", true},
            {"started_at"},
            {"duration_s", true},
            {"notes", true},
            {"input"},
            {"crook"},
            {"a4_hz", true},
            {"temperament"},
            {"closed"}};
}

std::vector<std::string> session_row(const logbook::SessionRecord& session) {
    return {std::to_string(session.id),
            session.started_at,
            fmt::format("{:.1f}", session.duration_s),
            std::to_string(session.notes),
            session.input,
            session.crook,
            fmt::format("{:.2f}", session.a4_hz),
            session.temperament,
            session.closed ? "yes" : "no"};
}

} // namespace bellhand::cli
