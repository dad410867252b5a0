#include "cli/answer.h"
#include "cli/commands.h"
#include "cli/hand_rows.h"
#include "cli/note_rows.h"
#include "cli/recording.h"

#include <cstdio>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

struct NotesOptions {
    RecordingOptions recording;
    TableFormat format = TableFormat::csv;
};

class NoteList final : public practice::AnalysisSink {
public:
    std::vector<trainer::PlayedNote> notes;

    void reading(const trainer::Reading& /*reading*/) override {}
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        notes.push_back(note);
    }
};

Result<int> notes(const NotesOptions& options) {
    auto recording = open_recording(options.recording);
    if (!recording) {
        return tl::unexpected(recording.error());
    }
    NoteList list;
    const auto horn = analyse(*recording, list);
    if (!horn) {
        return tl::unexpected(horn.error());
    }
    if (horn->doubted()) {
        take_back_advice(list.notes);
    }
    std::vector<std::vector<std::string>> rows;
    for (const trainer::PlayedNote& note : list.notes) {
        rows.push_back(note_row(note));
        const std::vector<std::string> heard = heard_row(note);
        rows.back().insert(rows.back().end(), heard.begin(), heard.end());
        rows.back().push_back(fmt::format("{:.1f}", note.known_within_cents));
    }
    std::vector<Column> columns = note_columns();
    for (const Column& column : heard_columns()) {
        columns.push_back(column);
    }
    columns.push_back({"known_within_cents", true}); // how far the pitch of a short note may be off
    std::fputs(
        answer_table(
            "notes", question_of(options.recording, *recording), columns, rows, options.format)
            .c_str(),
        stdout);
    tell_horn(*horn, recording->tuning);
    return 0;
}

} // namespace

void add_notes(CommandLine& line) {
    auto options = std::make_shared<NotesOptions>();
    const OptionSet command =
        add_command(line, "notes", "Print the notes of a recording, a row for each", [options] {
            return notes(*options);
        });
    add_recording_options(command, options->recording);
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
