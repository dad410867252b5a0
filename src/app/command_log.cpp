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

constexpr std::int64_t kLast = -1;

/// The session's number, `kLast` for "last".
Result<std::int64_t> session_number(const std::string& typed) {
    if (typed == "last") {
        return kLast;
    }
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), number);
    if (error != std::errc() || end != typed.data() + typed.size() || number < 1) {
        return usage_error("\"" + typed +
                           "\" is no session: give its number (see: bellhand log) or \"last\".");
    }
    return number;
}

Result<int> print_sessions(const std::vector<logbook::SessionRecord>& sessions,
                           TableFormat format) {
    std::vector<std::vector<std::string>> rows;
    for (const logbook::SessionRecord& session : sessions) {
        rows.push_back(session_row(session));
    }
    std::fputs(format_table(session_columns(), rows, format).c_str(), stdout);
    return 0;
}

Result<int> show(const LogOptions& options) {
    std::int64_t number = 0;
    if (options.session) {
        const auto typed = session_number(*options.session);
        if (!typed) {
            return tl::unexpected(typed.error());
        }
        number = *typed;
    }
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
    if (number == 0 || number == kLast) {
        const auto sessions = (*book)->sessions();
        if (!sessions) {
            return tl::unexpected(sessions.error());
        }
        if (number == 0) {
            return print_sessions(*sessions, options.format);
        }
        if (sessions->empty()) {
            return failure("There is no session in the log yet.");
        }
        number = sessions->front().id;
    }
    const auto notes = (*book)->notes(number);
    if (!notes) {
        return tl::unexpected(notes.error());
    }
    std::vector<std::vector<std::string>> rows;
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
