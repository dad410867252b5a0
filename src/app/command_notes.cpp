#include "app/commands.h"
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
    int channel = 0;
    TableFormat format = TableFormat::csv;
};

class NoteList final : public practice::AnalysisSink {
public:
    std::vector<std::vector<std::string>> rows;

    void reading(const trainer::Reading& /*reading*/) override {}
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        rows.push_back(note_row(note));
    }
};

Result<int> notes(const NotesOptions& options) {
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    auto source = audio::open_file(options.file, audio::Pace::as_fast_as_possible, options.channel);
    if (!source) {
        return tl::unexpected(source.error());
    }
    NoteList list;
    if (const auto analysed = practice::analyse(**source, *tuning, list); !analysed) {
        return tl::unexpected(analysed.error());
    }
    std::fputs(format_table(note_columns(), list.rows, options.format).c_str(), stdout);
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
    add_channel_option(command, options->channel);
    add_format_option(command, options->format);
}

} // namespace bellhand::app
