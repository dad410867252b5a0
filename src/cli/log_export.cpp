#include "cli/csv_file.h"
#include "cli/log_edits.h"
#include "report/export.h"

namespace bellhand::cli {

namespace {

struct ExportOptions {
    std::string format = "csv";
    std::string table = "notes";
    std::optional<std::string> session;
    std::optional<std::string> out;
};

Result<int> export_log(const LogOptions& log, const ExportOptions& options) {
    const auto table = report::parse_table(options.table);
    if (!table) {
        return tl::unexpected(table.error());
    }
    std::optional<std::int64_t> session;
    if (options.session) {
        const auto number = parse_session(*options.session);
        if (!number) {
            return tl::unexpected(number.error());
        }
        session = *number;
    }
    auto book = open_log(log, LogUse::look);
    if (!book) {
        return tl::unexpected(book.error());
    }
    if (session) {
        const auto number = session_in(**book, *session);
        if (!number) {
            return tl::unexpected(number.error());
        }
        session = *number;
    }
    auto file = CsvFile::open(options.out);
    if (!file) {
        return tl::unexpected(file.error());
    }
    const report::Sink sink = [&](std::string_view text) {
        (*file)->buffer() += text;
        (*file)->flush_when_long();
    };
    auto done = options.format == "json" ? report::export_json(**book, session, sink)
                                         : report::export_csv(**book, *table, session, sink);
    if (done) {
        done = (*file)->close();
    }
    if (!done) {
        return tl::unexpected(done.error());
    }
    return 0;
}

} // namespace

void add_log_export(const OptionSet& parser, LogOptions& log, Action& chosen) {
    auto options = std::make_shared<ExportOptions>();
    const OptionSet command =
        parser.add_command("export", "Write the log: one table as CSV, or all of it as JSON");
    command.add_option("--format", options->format, "csv or json").one_of({"csv", "json"});
    command
        .add_option("--table",
                    options->table,
                    "Table for CSV: sessions, blocks, notes, steps, takes or comments")
        .type_name("TABLE")
        .show_default();
    command.add_option("--session", options->session, "One session alone: its number, or \"last\"")
        .type_name("N");
    command.add_option("--out", options->out, "File to write (usual: standard output)")
        .type_name("FILE");
    add_log_option(command, log.path);
    command.when_chosen([options, &log, &chosen] {
        chosen = [options, &log] { return export_log(log, *options); };
    });
}

} // namespace bellhand::cli
