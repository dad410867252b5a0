#include "app/commands.h"
#include "app/note_rows.h"
#include "logbook/logbook.h"

#include <charconv>
#include <cstdio>

#include <CLI/CLI.hpp>

namespace bellhand::app {

namespace {

struct LogOptions {
    std::optional<std::string> session;
    std::optional<std::string> log;
    TableFormat format = TableFormat::table;
};

Result<std::int64_t> session_number(const std::string& typed,
                                    const std::vector<logbook::SessionRecord>& sessions) {
    if (typed == "last" && !sessions.empty()) {
        return sessions.front().id;
    }
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), number);
    if (error != std::errc() || end != typed.data() + typed.size()) {
        return usage_error("\"" + typed +
                           "\" is no session: give its number (see: bellhand log) or \"last\".");
    }
    return number;
}

Result<int> show(const LogOptions& options) {
    const std::filesystem::path path =
        options.log ? std::filesystem::path(*options.log) : logbook::default_path();
    std::error_code ignored;
    if (!options.log && !std::filesystem::exists(path, ignored)) {
        return failure("The log is empty: no session was ever recorded (" + path.string() + ").");
    }
    auto book = logbook::Logbook::open_for_reading(path);
    if (!book) {
        return tl::unexpected(book.error());
    }
    const auto sessions = (*book)->sessions();
    if (!sessions) {
        return tl::unexpected(sessions.error());
    }
    std::vector<std::vector<std::string>> rows;
    if (!options.session) {
        for (const logbook::SessionRecord& session : *sessions) {
            rows.push_back(session_row(session));
        }
        std::fputs(format_table(session_columns(), rows, options.format).c_str(), stdout);
        return 0;
    }
    const auto number = session_number(*options.session, *sessions);
    if (!number) {
        return tl::unexpected(number.error());
    }
    const auto notes = (*book)->notes(*number);
    if (!notes) {
        return tl::unexpected(notes.error());
    }
    for (const logbook::NoteRecord& record : *notes) {
        rows.push_back(logged_note_row(record));
    }
    std::fputs(format_table(logged_note_columns(), rows, options.format).c_str(), stdout);
    return 0;
}

} // namespace

void add_log(CommandLine& line) {
    auto options = std::make_shared<LogOptions>();
    CLI::App& command =
        add_command(line, "log", "List the sessions, or the notes of one", [options] {
            return show(*options);
        });
    command.add_option("SESSION", options->session, "Number of a session, or \"last\"");
    add_log_option(command, options->log);
    add_format_option(command, options->format);
}

} // namespace bellhand::app
