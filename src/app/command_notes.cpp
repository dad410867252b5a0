#include "app/commands.h"
#include "app/hand_rows.h"
#include "app/note_rows.h"
#include "audio/file.h"
#include "practice/offline.h"

#include <cstdio>

#include <CLI/CLI.hpp>

namespace bellhand::app {

namespace {

struct NotesOptions {
    std::string file;
    TuningOptions tuning;
    std::optional<std::string> profile;
    int channel = 0;
    TableFormat format = TableFormat::csv;
};

class NoteList final : public practice::AnalysisSink {
public:
    std::vector<std::vector<std::string>> rows;

    void reading(const trainer::Reading& /*reading*/) override {}
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        rows.push_back(note_row(note));
        const std::vector<std::string> heard = heard_row(note);
        rows.back().insert(rows.back().end(), heard.begin(), heard.end());
    }
};

Result<int> notes(const NotesOptions& options) {
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    const auto own = own_hand(options.profile, *tuning);
    if (!own) {
        return tl::unexpected(own.error());
    }
    auto source = audio::open_file(options.file, audio::Pace::as_fast_as_possible, options.channel);
    if (!source) {
        return tl::unexpected(source.error());
    }
    NoteList list;
    if (const auto analysed = practice::analyse(**source, *tuning, list, *own); !analysed) {
        return tl::unexpected(analysed.error());
    }
    std::vector<Column> columns = note_columns();
    for (const Column& column : heard_columns()) {
        columns.push_back(column);
    }
    std::fputs(format_table(columns, list.rows, options.format).c_str(), stdout);
    return 0;
}

} // namespace

void add_notes(CommandLine& line) {
    auto options = std::make_shared<NotesOptions>();
    CLI::App& command =
        add_command(line, "notes", "Print the notes of a recording, a row for each", [options] {
            return notes(*options);
        });
    command.add_option("FILE", options->file, "Sound file (WAV, FLAC, OGG)")->required();
    add_tuning_options(command, options->tuning);
    add_hand_profile_option(command, options->profile);
    add_channel_option(command, options->channel);
    add_format_option(command, options->format);
}

} // namespace bellhand::app
