#include "cli/answer.h"
#include "cli/commands.h"
#include "cli/log_edits.h"
#include "cli/log_options.h"
#include "cli/note_rows.h"
#include "logbook/logbook.h"

#include <cstdio>

namespace bellhand::cli {

namespace {

/// `bellhand log` with what was typed after it.
struct Typed {
    LogOptions log;
    std::optional<std::string> session;
    bool bin = false;
    TableFormat format = TableFormat::table;
    Action further; ///< of the subcommand that was typed
};

Result<int>
print_sessions(const std::vector<logbook::SessionRecord>& sessions, bool bin, TableFormat format) {
    std::vector<std::vector<std::string>> rows;
    for (const logbook::SessionRecord& session : sessions) {
        rows.push_back(session_row(session));
    }
    Question question;
    question.more = {{"bin", bin}};
    std::fputs(answer_table("sessions", question, session_columns(), rows, format).c_str(), stdout);
    return 0;
}

Result<int> list(const Typed& typed) {
    const auto book = open_log(typed.log, LogUse::look);
    if (!book) {
        return tl::unexpected(book.error());
    }
    const auto sessions = typed.bin ? (*book)->bin() : (*book)->sessions();
    if (!sessions) {
        return tl::unexpected(sessions.error());
    }
    return print_sessions(*sessions, typed.bin, typed.format);
}

Result<int> show(const Typed& typed) {
    // A mistyped number is told before a missing log.
    const auto number = parse_session(*typed.session);
    if (!number) {
        return tl::unexpected(number.error());
    }
    const auto book = open_log(typed.log, LogUse::look);
    if (!book) {
        return tl::unexpected(book.error());
    }
    const auto session = session_in(**book, *number);
    if (!session) {
        return tl::unexpected(session.error());
    }
    const auto notes = (*book)->notes(*session);
    if (!notes) {
        return tl::unexpected(notes.error());
    }
    std::vector<std::vector<std::string>> rows;
    for (const logbook::NoteRecord& record : *notes) {
        rows.push_back(logged_note_row(record));
    }
    Question question;
    question.more = {{"session", static_cast<double>(*session)}};
    std::fputs(
        answer_table("session-notes", question, logged_note_columns(), rows, typed.format).c_str(),
        stdout);
    return 0;
}

void add_list(const OptionSet& log, const std::shared_ptr<Typed>& typed) {
    const OptionSet command = log.add_command("list", "List the sessions, newest first");
    command.add_flag("--bin", typed->bin, "Those in the bin instead");
    add_log_option(command, typed->log.path);
    add_format_option(command, typed->format);
    command.when_chosen([typed] { typed->further = [typed] { return list(*typed); }; });
}

void add_show(const OptionSet& log, const std::shared_ptr<Typed>& typed) {
    const OptionSet command = log.add_command("show", "Show the notes of a session");
    command.add_option("SESSION", typed->session, "Its number, or \"last\"").required();
    add_log_option(command, typed->log.path);
    add_format_option(command, typed->format);
    command.when_chosen([typed] { typed->further = [typed] { return show(*typed); }; });
}

} // namespace

void add_log(CommandLine& line) {
    auto typed = std::make_shared<Typed>();
    const OptionSet command =
        add_command(line,
                    "log",
                    "List the sessions or show one; delete, undo, comment, takes, export",
                    [typed] {
                        if (typed->further) {
                            return typed->further();
                        }
                        return typed->session ? show(*typed) : list(*typed);
                    });
    command.add_option("SESSION", typed->session, "Number of a session, or \"last\"");
    command.add_flag("--bin", typed->bin, "List the sessions in the bin instead");
    add_log_option(command, typed->log.path);
    add_format_option(command, typed->format);
    add_list(command, typed);
    add_show(command, typed);
    add_log_edits(command, typed->log, typed->further);
    add_log_takes(command, typed->log, typed->further);
    add_log_export(command, typed->log, typed->further);
}

} // namespace bellhand::cli
