#pragma once

#include "cli/commands.h"
#include "terminal/run_view.h"

namespace bellhand::app {

/// Options shared by the commands that lead through a lesson, as they were typed.
struct LessonInput {
    bool demo = false;
    std::uint64_t seed = 1;
    std::optional<std::string> input;
    std::optional<std::string> device;
    std::optional<int> channel;
    std::optional<std::string> profile;
    std::optional<std::string> log;
    TuningOptions tuning;
    std::optional<double> tolerance; ///< factor; empty: as in the settings
    int feedback_behind = 1;
    bool no_metronome = false;
    bool no_drone = false;
    bool cue = false;
    bool json = false;
};
/// The option --format text|json.
void add_lesson_format_option(CLI::App& parser, LessonInput& options);
void add_lesson_options(CLI::App& parser, LessonInput& options);

/// What was typed, over the saved settings. Errors (usage): options that contradict each other or are out of range.
[[nodiscard]] Result<LessonStart> resolve_lesson(const LessonInput& options);

} // namespace bellhand::app
