#include "cli/homework_commands.h"
#include "cli/log_options.h"
#include "core/calendar.h"
#include "core/platform.h"
#include "homework/student.h"
#include "logbook/logbook.h"

#include <cstdio>
#include <optional>
#include <vector>

namespace bellhand::cli {

namespace {

struct OpenOptions {
    std::string file;
    std::optional<std::string> log;
};

std::filesystem::path log_path(const std::optional<std::string>& typed) {
    return typed ? platform::path_of(*typed) : logbook::default_path();
}

Result<int> open_file(const OpenOptions& options) {
    const auto package = homework::Package::load(platform::path_of(options.file));
    if (!package) {
        return tl::unexpected(package.error());
    }
    if (const auto problems = homework::problems(package->homework()); !problems.empty()) {
        return failure(options.file + " cannot be worked on: " + problems.front());
    }
    auto book = open_and_tidy(log_path(options.log));
    if (!book) {
        return tl::unexpected(book.error());
    }
    const auto taken = homework::take_in(*package, calendar::now_utc(), **book);
    if (!taken) {
        return tl::unexpected(taken.error());
    }
    print_homework(package->homework());
    if (taken->comments > 0) {
        std::printf("\n%zu new %s from the teacher, on your takes in the log.\n",
                    taken->comments,
                    taken->comments == 1 ? "comment" : "comments");
    }
    std::puts(taken->known ? "\nIt is in the log already."
                           : "\nIt is in the log now; `bellhand today` asks for it.");
    return 0;
}

struct ReturnOptions {
    std::string id;
    std::string out;
    std::string words;
    std::vector<std::int64_t> takes;
    bool no_takes = false;
    std::optional<std::string> profile;
    std::optional<std::string> log;
};

Result<int> give_back(const ReturnOptions& options) {
    auto book = open_and_tidy(log_path(options.log));
    if (!book) {
        return tl::unexpected(book.error());
    }
    homework::ReturnWishes wishes;
    wishes.returned_at = calendar::now_utc();
    wishes.words = options.words;
    if (options.no_takes || !options.takes.empty()) {
        wishes.takes = options.takes;
    }
    if (options.profile) {
        auto profile = instrument::load_profile(platform::path_of(*options.profile));
        if (!profile) {
            return tl::unexpected(profile.error());
        }
        wishes.profile = std::move(*profile);
    }
    const auto package = homework::returned(
        options.id, wishes, logbook::takes_folder(log_path(options.log)), **book);
    if (!package) {
        return tl::unexpected(package.error());
    }
    if (auto saved = package->save(platform::path_of(options.out)); !saved) {
        return tl::unexpected(saved.error());
    }
    if (auto marked = homework::mark_returned(options.id, wishes.returned_at, **book); !marked) {
        return tl::unexpected(marked.error());
    }
    std::printf("%s: %zu attempts, %zu takes\n",
                options.out.c_str(),
                package->homework().returned->attempts.size(),
                package->takes());
    return 0;
}

} // namespace

void add_homework_open(const OptionSet& homework, const Further& further) {
    auto options = std::make_shared<OpenOptions>();
    const OptionSet command = homework.add_command(
        "open", "Student: check a homework file and take it into the log and the plan of the day");
    command.add_option("FILE", options->file, "The homework file").required();
    add_log_option(command, options->log);
    command.when_chosen([=] { *further = [options] { return open_file(*options); }; });
}

void add_homework_return(const OptionSet& homework, const Further& further) {
    auto options = std::make_shared<ReturnOptions>();
    const OptionSet command =
        homework.add_command("return", "Student: write the file that goes back");
    command.add_option("ID", options->id, "Id of the homework, as `open` printed it").required();
    command.add_option("--out", options->out, "The file to write, NAME.hornwork")
        .type_name("FILE")
        .required();
    command.add_option("--words", options->words, "A note to the teacher").type_name("WORDS");
    command
        .add_option("--take",
                    options->takes,
                    "A take of the log to send, by its number; again for more. Without it the "
                    "newest of each task and those marked kept")
        .type_name("N");
    command.add_flag("--no-takes", options->no_takes, "Send figures only");
    command.add_option("--profile", options->profile, "Profile of the horn to send along")
        .type_name("FILE");
    add_log_option(command, options->log);
    command.when_chosen([=] { *further = [options] { return give_back(*options); }; });
}

} // namespace bellhand::cli
