#include "cli/commands.h"
#include "cli/log_options.h"
#include "cli/report_text.h"
#include "core/calendar.h"
#include "core/files.h"
#include "core/platform.h"
#include "report/report.h"

#include <cstdio>

namespace bellhand::cli {

namespace {

struct ReportOptions {
    LogOptions log;
    std::string range = "week";
    std::string until = "today";
    std::string player;
    std::optional<std::string> out;
};

Result<int> make_report(const ReportOptions& options) {
    const auto range = progress::parse_range(options.range);
    if (!range) {
        return tl::unexpected(range.error());
    }
    const auto last_day = calendar::parse_day(options.until);
    if (!last_day) {
        return tl::unexpected(last_day.error());
    }
    const auto book = open_log(options.log, LogUse::look);
    if (!book) {
        return tl::unexpected(book.error());
    }
    const auto gathered = report::gather(**book, *range, *last_day, options.player);
    if (!gathered) {
        return tl::unexpected(gathered.error());
    }
    if (!options.out) {
        std::fputs(report_text(*gathered).c_str(), stdout);
        return 0;
    }
    if (auto written =
            write_file_in_one_step(platform::path_of(*options.out), report::html_page(*gathered));
        !written) {
        return tl::unexpected(written.error());
    }
    std::printf("%s: open it in any browser, which also prints it or makes a PDF.\n",
                options.out->c_str());
    return 0;
}

} // namespace

void add_report(CommandLine& line) {
    auto options = std::make_shared<ReportOptions>();
    const OptionSet command =
        add_command(line, "report", "Summarise practice, as text or as a page to send", [options] {
            return make_report(*options);
        });
    command.add_option("--range", options->range, "How far back: day, week or all")
        .type_name("day|week|all")
        .show_default();
    command.add_option("--until", options->until, "Last day, e.g. 2026-03-01, yesterday")
        .type_name("DAY")
        .show_default();
    command.add_option("--player", options->player, "Name to print on the page").type_name("NAME");
    command
        .add_option("--out",
                    options->out,
                    "Web page to write, complete in one file (without it: a summary as text)")
        .type_name("FILE.html");
    add_log_option(command, options->log.path);
}

} // namespace bellhand::cli
