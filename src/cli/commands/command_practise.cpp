#include "cli/commands.h"
#include "cli/run_options.h"
#include "core/platform.h"
#include "drill/exercise_file.h"
#include "drill/library.h"
#include "drill/playable.h"
#include "run/skill_log.h"
#include "skill/focus.h"
#include "terminal/run_view.h"

#include <algorithm>
#include <memory>

namespace bellhand::cli {

namespace {

struct PractiseOptions {
    RunInput session;
    std::string name;
    int repetitions = 0; ///< 0: as the exercise says
};

constexpr std::uint64_t kUsualSeed = 1;

/// A built-in or generated exercise by its id, else the first one of a file.
Result<drill::Exercise> exercise_called(const std::string& name, const horn::Crook& crook) {
    std::error_code ignored;
    if (!std::filesystem::is_regular_file(platform::path_of(name), ignored)) {
        return drill::find_exercise(name, crook, kUsualSeed);
    }
    auto file = drill::load_exercises(platform::path_of(name));
    if (!file) {
        return tl::unexpected(file.error());
    }
    return std::move(file->exercises.front());
}

Result<int> practise(const PractiseOptions& options) {
    auto start = resolve_run(options.session);
    if (!start) {
        return tl::unexpected(start.error());
    }
    const horn::Crook crook = start->session.tuning.crook;
    auto exercise = exercise_called(options.name, crook);
    if (!exercise) {
        return tl::unexpected(exercise.error());
    }
    if (const drill::Playable fits = drill::playable(*exercise, crook); !fits.yes) {
        return usage_error(fits.why);
    }
    if (options.repetitions > 0) {
        exercise->repetitions = options.repetitions;
    }
    skill::PlannedBlock block;
    block.exercise = std::move(*exercise);
    block.crook = crook;
    // Its own length decides, within the longest stretch that is advised.
    block.play_s =
        std::min(skill::kLongestBlockMinutes * 60.0,
                 2.0 * skill::length_s(block.exercise) * block.exercise.repetitions + 60.0);
    auto skills = run::skills_in(start->input.log_path);
    if (!skills) {
        return tl::unexpected(skills.error());
    }
    return terminal::run_exercises(*start, {std::move(block)}, std::move(*skills));
}

} // namespace

void add_practise(CommandLine& line) {
    auto options = std::make_shared<PractiseOptions>();
    const OptionSet command =
        add_command(line,
                    "practise",
                    "Practise one exercise now: Bellhand listens, follows and judges",
                    [options] { return practise(*options); });
    command.add_option("NAME", options->name, "Id of an exercise, or a file that holds one")
        .required()
        .type_name("NAME|FILE");
    command
        .add_option("--times", options->repetitions, "How often, instead of what the exercise says")
        .range(1, 100)
        .type_name("N");
    add_run_format_option(command, options->session);
    add_run_options(command, options->session);
}

} // namespace bellhand::cli
