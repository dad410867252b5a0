#include "cli/answer.h"
#include "cli/log_edits.h"
#include "takes/budget.h"

#include <cstdio>
#include <utility>
#include <vector>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

constexpr double kMegabyte = 1e6;

struct TakesOptions {
    std::optional<double> budget_mb;
    std::optional<std::int64_t> keep;
    std::optional<std::int64_t> let_go;
    TableFormat format = TableFormat::table;
};

std::vector<std::string> row_of(const logbook::TakeRecord& take, bool table) {
    return {std::to_string(take.id),
            std::to_string(take.session),
            fmt::format("{:.1f}", take.start_s),
            fmt::format("{:.1f}", take.duration_s),
            table ? fmt::format("{:.2f}", static_cast<double>(take.bytes) / kMegabyte)
                  : std::to_string(take.bytes),
            take.kept ? "kept" : "",
            take.why,
            take.file};
}

std::vector<Column> columns(bool table) {
    return {{"take", true},
            {"session", true},
            {"start_s", true},
            {"duration_s", true},
            {table ? "megabytes" : "bytes", true},
            {"kept"},
            {"why"},
            {"file"}};
}

/// What is to be changed, if anything.
Result<void> change(const TakesOptions& options, logbook::Logbook& book) {
    for (const auto& [take, kept] :
         {std::pair(options.keep, true), std::pair(options.let_go, false)}) {
        if (take) {
            if (auto done = takes::set_kept(book, *take, kept); !done) {
                return done;
            }
        }
    }
    if (!options.budget_mb) {
        return {};
    }
    return takes::set_budget(book, static_cast<std::int64_t>(*options.budget_mb * kMegabyte));
}

Result<int> tell(const TakesOptions& options, logbook::Logbook& book) {
    const auto takes = book.all_takes();
    const auto used = book.takes_bytes();
    const auto budget = takes::budget(book);
    for (const Error* error : {takes ? nullptr : &takes.error(),
                               used ? nullptr : &used.error(),
                               budget ? nullptr : &budget.error()}) {
        if (error != nullptr) {
            return tl::unexpected(*error);
        }
    }
    const bool table = options.format == TableFormat::table;
    std::vector<std::vector<std::string>> rows;
    for (const logbook::TakeRecord& take : *takes) {
        rows.push_back(row_of(take, table));
    }
    Question question;
    question.more = {{"budget_bytes", static_cast<double>(*budget)},
                     {"used_bytes", static_cast<double>(*used)}};
    std::fputs(answer_table("takes", question, columns(table), rows, options.format).c_str(),
               stdout);
    if (table) {
        fmt::print("{}Takes use {:.0f} of {:.0f} MB. Beyond that the oldest are removed, after a "
                   "warning; never those marked kept, nor those of homework not yet returned.\n",
                   rows.empty() ? "" : "\n",
                   static_cast<double>(*used) / kMegabyte,
                   static_cast<double>(*budget) / kMegabyte);
    }
    return 0;
}

Result<int> run(const LogOptions& log, const TakesOptions& options) {
    const bool changes = options.budget_mb || options.keep || options.let_go;
    const auto book = open_log(log, changes ? LogUse::change : LogUse::look);
    if (!book) {
        return tl::unexpected(book.error());
    }
    if (auto done = change(options, **book); !done) {
        return tl::unexpected(done.error());
    }
    return tell(options, **book);
}

} // namespace

void add_log_takes(const OptionSet& parser, LogOptions& log, Action& chosen) {
    auto options = std::make_shared<TakesOptions>();
    const OptionSet command = parser.add_command(
        "takes", "List the takes and how much space they use; set how much they may use");
    command.add_option("--budget", options->budget_mb, "Megabytes that takes may use (usual: 2000)")
        .type_name("MB")
        .range(0.0, 1e7);
    command.add_option("--keep", options->keep, "Never remove this take, given by its number")
        .type_name("TAKE");
    command
        .add_option("--let-go",
                    options->let_go,
                    "Allow this take, given by its number, to be removed again")
        .type_name("TAKE");
    add_log_option(command, log.path);
    add_format_option(command, options->format);
    command.when_chosen(
        [options, &log, &chosen] { chosen = [options, &log] { return run(log, *options); }; });
}

} // namespace bellhand::cli
