#include "cli/part_play.h"

#include "cli/log_options.h"
#include "drill/part_results.h"
#include "logbook/logbook.h"
#include "run/part_run.h"
#include "run/skill_log.h"
#include "skill/focus.h"

#include <algorithm>
#include <cstdio>

namespace bellhand::cli {

namespace {

constexpr std::size_t kWorstBars = 4;
constexpr std::size_t kNewestSessions = 40; // older faults are no longer the player's
constexpr int kDrillTimes = 4;
constexpr int kMostTimes = 50;
constexpr double kSlow = 3.0;           // of its length: so slowly may a part be played through
constexpr double kMore_s = 10.0 * 60.0; // and so long stopped at

std::string bar_number(const part::Part& part, int bar) {
    return part.music.bars[static_cast<std::size_t>(bar)].number;
}

skill::PlannedBlock block_of(drill::PartExercise made, int times, std::string why) {
    skill::PlannedBlock block;
    block.crook = made.crook;
    block.exercise = std::move(made.exercise);
    block.exercise.repetitions = times;
    block.play_s = kSlow * times * skill::length_s(block.exercise) + kMore_s;
    block.why = std::move(why);
    return block;
}

/// Adds what the log knows of one session.
Result<void> add_session(drill::BarResults& results,
                         const part::Part& part,
                         const part::Plan& plan,
                         logbook::Logbook& book,
                         std::int64_t session) {
    const auto blocks = book.blocks(session);
    const auto steps = book.steps(session);
    if (!blocks || !steps) {
        return tl::unexpected(blocks ? steps.error() : blocks.error());
    }
    for (const logbook::BlockRecord& block : *blocks) {
        const auto bars = drill::bars_of_id(part, block.exercise);
        const auto made =
            bars ? drill::exercise_of_part(part, plan, bars->first, bars->last) : usage_error("");
        for (std::size_t i = 0; made && i < steps->size(); ++i) {
            if ((*steps)[i].block == block.id) {
                drill::add_result(results, part, *made, (*steps)[i].judgement);
            }
        }
    }
    return {};
}

Result<std::vector<skill::PlannedBlock>>
worst_blocks(const part::Part& part, const part::Plan& plan, const std::filesystem::path& log) {
    drill::BarResults results;
    std::error_code ignored;
    if (std::filesystem::exists(log, ignored)) {
        const auto book = logbook::Logbook::open(log);
        if (!book) {
            return tl::unexpected(book.error());
        }
        const auto sessions = (*book)->sessions();
        if (!sessions) {
            return tl::unexpected(sessions.error());
        }
        for (std::size_t i = 0; i < std::min(sessions->size(), kNewestSessions); ++i) {
            if (auto added = add_session(results, part, plan, **book, (*sessions)[i].id); !added) {
                return tl::unexpected(added.error());
            }
        }
    }
    const std::vector<drill::BarResult> worst = drill::worst_bars(results, kWorstBars);
    if (worst.empty()) {
        return usage_error("The log knows of no bad bars in this part: play it with --play first.");
    }
    std::vector<skill::PlannedBlock> blocks;
    for (const drill::PartBars& bars : drill::stretches_of(worst)) {
        auto made = drill::exercise_of_part(part, plan, bars.first, bars.last);
        if (!made) {
            return tl::unexpected(made.error());
        }
        std::string why;
        for (const drill::BarResult& bar : worst) {
            if (bar.bar >= bars.first && bar.bar <= bars.last) {
                why += (why.empty() ? "" : "; ") + ("bar " + bar_number(part, bar.bar)) + ": " +
                       std::to_string(bar.faulty) + " of " + std::to_string(bar.judged) +
                       " notes went wrong";
            }
        }
        blocks.push_back(block_of(std::move(*made), kDrillTimes, why + "."));
    }
    return blocks;
}

Result<std::vector<skill::PlannedBlock>> through_block(const part::Part& part,
                                                       const part::Plan& plan,
                                                       BarRange bars,
                                                       const PartPlay& options) {
    auto made = drill::exercise_of_part(part, plan, bars.first, bars.last);
    if (!made) {
        return tl::unexpected(made.error());
    }
    std::optional<std::uint32_t> start;
    if (options.from) {
        start = drill::step_of_bar(made->exercise, *options.from);
        if (!start) {
            return usage_error("There is no bar " + *options.from +
                               " among those that are played: write its number as printed.");
        }
    }
    const double once_s = std::max(skill::length_s(made->exercise), 1.0);
    const int fitting = static_cast<int>(skill::kLongestBlockMinutes * 60.0 / once_s);
    const int times = options.loop ? std::clamp(fitting, 2, kMostTimes) : 1;
    std::vector<skill::PlannedBlock> blocks;
    blocks.push_back(block_of(std::move(*made),
                              times,
                              options.loop ? "Round and round; the best time through is kept."
                                           : "The part as it is written."));
    blocks.back().start_step = start;
    return blocks;
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
                      BarRange bars,
                      const PartPlay& options) {
    auto start = resolve_run(options.run);
    if (!start) {
        return tl::unexpected(start.error());
    }
    auto blocks = options.worst ? worst_blocks(part, plan, start->input.log_path)
                                : through_block(part, plan, bars, options);
    if (!blocks) {
        return tl::unexpected(blocks.error());
    }
    horn::Tuning& tuning = start->session.tuning;
    tuning = {blocks->front().crook, settings.a4_hz, settings.temperament, settings.footing};
    start->input.tuning = tuning;
    if (start->session.metronome && !run::one_tempo(blocks->front().exercise)) {
        std::fprintf(stderr, "No metronome: the tempo changes on the way.\n");
    }
    auto skills = run::skills_in(start->input.log_path);
    if (!skills) {
        return tl::unexpected(skills.error());
    }
    return terminal::run_exercises(*start, std::move(*blocks), std::move(*skills));
}

} // namespace bellhand::cli
