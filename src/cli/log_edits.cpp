#include "cli/log_edits.h"

#include "core/calendar.h"
#include "datafile/json_text.h"

#include <cstdio>
#include <vector>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

struct EditOptions {
    std::optional<std::string> session;
    std::optional<std::int64_t> take;
    std::optional<std::uint32_t> note;
    double at_s = 0.0;
    bool teacher = false;
    std::vector<std::string> words;
};

/// The session that was typed, in a log open for changing.
struct Found {
    std::unique_ptr<logbook::Logbook> log;
    std::int64_t session = 0;
};

Result<Found> find(const LogOptions& log, const std::string& typed) {
    const auto number = parse_session(typed);
    if (!number) {
        return tl::unexpected(number.error());
    }
    auto book = open_log(log, LogUse::change);
    if (!book) {
        return tl::unexpected(book.error());
    }
    const auto session = session_in(**book, *number);
    if (!session) {
        return tl::unexpected(session.error());
    }
    return Found{std::move(*book), *session};
}

Result<int> delete_session(const LogOptions& log, const EditOptions& options) {
    const auto found = find(log, *options.session);
    if (!found) {
        return tl::unexpected(found.error());
    }
    if (auto done = found->log->delete_session(found->session); !done) {
        return tl::unexpected(done.error());
    }
    fmt::print("Session {} is in the bin until {}; `bellhand log undo {}` brings it back.\n",
               found->session,
               calendar::day_name(calendar::today() + logbook::kBinDays),
               found->session);
    return 0;
}

Result<int> undo(const LogOptions& log, const EditOptions& options) {
    auto book = open_log(log, LogUse::change);
    if (!book) {
        return tl::unexpected(book.error());
    }
    std::int64_t session = 0;
    if (options.session && *options.session != "last") {
        const auto number = parse_session(*options.session);
        if (!number) {
            return tl::unexpected(number.error());
        }
        session = *number;
    } else {
        const auto bin = (*book)->bin();
        if (!bin) {
            return tl::unexpected(bin.error());
        }
        if (bin->empty()) {
            return failure("The bin is empty: there is nothing to bring back.");
        }
        session = bin->front().id;
    }
    if (auto done = (*book)->restore_session(session); !done) {
        return tl::unexpected(done.error());
    }
    fmt::print("Session {} is back, with its notes, exercises, takes and comments.\n", session);
    return 0;
}

Result<int> empty_bin(const LogOptions& log) {
    auto book = open_log(log, LogUse::change);
    if (!book) {
        return tl::unexpected(book.error());
    }
    const auto gone = (*book)->empty_bin(0);
    if (!gone) {
        return tl::unexpected(gone.error());
    }
    fmt::print("The bin is empty; {} gone for good, with their takes.\n",
               *gone == 1 ? "1 session is" : fmt::format("{} sessions are", *gone));
    return 0;
}

Result<int> comment(const LogOptions& log, const EditOptions& options) {
    const auto found = find(log, *options.session);
    if (!found) {
        return tl::unexpected(found.error());
    }
    logbook::CommentRecord record;
    record.session = found->session;
    record.take = options.take;
    record.note = options.note;
    record.at_s = options.at_s;
    record.who = options.teacher ? logbook::Who::teacher : logbook::Who::player;
    record.text = datafile::plain_paragraphs(fmt::format("{}", fmt::join(options.words, " ")));
    if (const auto id = found->log->add_comment(record); !id) {
        return tl::unexpected(id.error());
    }
    return 0;
}

} // namespace

void add_log_edits(const OptionSet& parser, LogOptions& log, Action& chosen) {
    const auto add = [&](const char* name, const char* purpose, auto run) {
        auto options = std::make_shared<EditOptions>();
        const OptionSet command = parser.add_command(name, purpose);
        add_log_option(command, log.path);
        command.when_chosen([options, run, &log, &chosen] {
            chosen = [options, run, &log] { return run(log, *options); };
        });
        return std::pair(command, options);
    };
    const auto [remove, removed] =
        add("delete", "Put a session into the bin; undo brings it back", delete_session);
    remove.add_option("SESSION", removed->session, "Its number, or \"last\"").required();

    const auto [back, restored] = add("undo", "Bring a deleted session back, whole", undo);
    back.add_option("SESSION", restored->session, "Its number (usual: the last one deleted)");

    add("empty-bin",
        "Delete what is in the bin for good, takes included",
        [](const LogOptions& path, const EditOptions&) { return empty_bin(path); });

    const auto [say, said] = add("comment", "Write a comment into the log", comment);
    say.add_option("SESSION", said->session, "Number of the session, or \"last\"").required();
    say.add_option("WORDS", said->words, "The comment").required();
    say.add_option("--take", said->take, "On this take (its number)").type_name("N");
    say.add_option("--note", said->note, "On this note of the session, from 0").type_name("N");
    say.add_option("--at", said->at_s, "At this second of the take, or of the session")
        .at_least(0.0)
        .type_name("S");
    say.add_flag("--teacher", said->teacher, "Say it as the teacher");
}

} // namespace bellhand::cli
