#include "cli/part_play.h"

#include "cli/log_options.h"
#include "logbook/logbook.h"
#include "run/part_blocks.h"
#include "run/part_run.h"
#include "run/skill_log.h"

#include <cstdio>

namespace bellhand::cli {

namespace {

constexpr double kPercent = 100.0;

Result<run::PartBlocks> worst_bars(const part::Part& part,
                                   const part::Plan& plan,
                                   const std::filesystem::path& log,
                                   double speed) {
    drill::BarResults known;
    std::error_code ignored;
    if (std::filesystem::exists(log, ignored)) {
        const auto book = logbook::Logbook::open(log);
        auto results = book ? run::part_results(part, plan, **book) : tl::unexpected(book.error());
        if (!results) {
            return tl::unexpected(results.error());
        }
        known = std::move(*results);
    }
    return run::worst_blocks(part, plan, known, speed);
}

Result<run::PartBlocks> stretch(const part::Part& part,
                                const part::Plan& plan,
                                drill::PartBars bars,
                                const PartPlay& options) {
    run::PartStretch wish{bars, std::nullopt, options.loop, options.speed / kPercent};
    if (options.from) {
        wish.from = part::bar_numbered(part.music, *options.from);
        if (!wish.from) {
            return usage_error("There is no bar " + *options.from +
                               " in the part: write its number as printed.");
        }
    }
    return run::part_blocks(part, plan, wish);
}

} // namespace

void add_part_play(const OptionSet& command, PartPlay& options) {
    command.add_flag("--play",
                     options.play,
                     "Play it: Bellhand follows, counts the rests, waits for crooks and judges");
    command.add_option("--from", options.from, "With --play: begin in this bar").type_name("BAR");
    command.add_flag("--loop",
                     options.loop,
                     "With --play: round and round; the best time through is kept as a take");
    command
        .add_option("--speed",
                    options.speed,
                    "With --play: percent of the written tempo, 25 to 150 (usual: 100)")
        .range(25.0, 150.0)
        .type_name("PERCENT");
    command.add_flag("--worst", options.worst, "Play the bars that went worst until now");
    add_source_options(command, options.run.listen);
    add_log_option(command, options.run.listen.log);
    command.add_flag("--no-metronome", options.run.no_metronome, "With --play: no metronome");
    command
        .add_option("--tolerance",
                    options.run.tolerance,
                    "Factor on the tolerances of pitch, 0.2 to 5 (usual: as set in the window)")
        .range(0.2, 5.0)
        .type_name("FACTOR");
    add_run_format_option(command, options.run);
}

Result<int> play_part(const part::Part& part,
                      const part::Plan& plan,
                      const part::PlanSettings& settings,
                      drill::PartBars bars,
                      const PartPlay& options) {
    auto start = resolve_run(options.run);
    if (!start) {
        return tl::unexpected(start.error());
    }
    auto blocks = options.worst
                      ? worst_bars(part, plan, start->input.log_path, options.speed / kPercent)
                      : stretch(part, plan, bars, options);
    if (!blocks) {
        return tl::unexpected(blocks.error());
    }
    const skill::PlannedBlock& first = blocks->blocks.front();
    horn::Tuning& tuning = start->session.tuning;
    tuning = {first.crook, settings.a4_hz, settings.temperament, settings.footing};
    start->input.tuning = tuning;
    if (start->session.metronome && !run::one_tempo(first.exercise)) {
        std::fprintf(stderr, "No metronome: tempo or metre change on the way.\n");
    }
    auto skills = run::skills_in(start->input.log_path);
    if (!skills) {
        return tl::unexpected(skills.error());
    }
    return terminal::run_exercises(*start, std::move(blocks->blocks), std::move(*skills));
}

} // namespace bellhand::cli
