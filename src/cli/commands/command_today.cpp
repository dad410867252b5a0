#include "app/today.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "cli/plan_text.h"
#include "cli/run_options.h"
#include "terminal/run_view.h"

#include <cstdio>
#include <memory>

namespace bellhand::cli {

namespace {

struct TodayOptions {
    RunInput session;
    double minutes = 20.0;
    double block_minutes = 3.0;
    bool run = false;
};

Result<int> show_today(TodayOptions options) {
    const auto start = resolve_run(options.session);
    if (!start) {
        return tl::unexpected(start.error());
    }
    skill::PlanWishes wishes;
    wishes.minutes = options.minutes;
    wishes.block_minutes = options.block_minutes;
    wishes.usual = start->session.tuning.crook;
    if (options.session.listen.tuning.crook) {
        wishes.crooks = {start->session.tuning.crook};
    }
    auto planned = app::today(start->input.log_path, std::move(wishes));
    if (!planned) {
        return tl::unexpected(planned.error());
    }
    if (!options.run) {
        Question question;
        question.tuning = start->session.tuning;
        question.profile = options.session.listen.profile;
        question.more = {{"play_and_rest_s", 60.0 * options.minutes},
                         {"longest_block_s", 60.0 * options.block_minutes}};
        const std::string text = options.session.json
                                     ? answer_json("today", question, plan_json(planned->plan))
                                     : plan_text(planned->plan);
        std::fputs(text.c_str(), stdout);
        return 0;
    }
    if (!options.session.json) {
        std::fputs(plan_text(planned->plan).c_str(), stdout);
        std::fflush(stdout);
    }
    return terminal::run_exercises(
        *start, std::move(planned->plan.blocks), std::move(planned->skills));
}

} // namespace

void add_today(CommandLine& line) {
    auto options = std::make_shared<TodayOptions>();
    const OptionSet command = add_command(line,
                                          "today",
                                          "What to practise today, and why; --run leads through it",
                                          [options] { return show_today(*options); });
    command.add_option("--minutes", options->minutes, "Minutes in all, rests included, 1 to 240")
        .range(1.0, 240.0)
        .type_name("MIN");
    command
        .add_option(
            "--block", options->block_minutes, "Minutes of playing before a rest, 0.5 to 25")
        .range(0.5, skill::kLongestBlockMinutes)
        .type_name("MIN");
    command.add_flag(
        "--run", options->run, "Practise it now: Bellhand listens, follows, rests and moves on");
    add_run_format_option(command, options->session);
    add_run_options(command, options->session);
}

} // namespace bellhand::cli
