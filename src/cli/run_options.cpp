#include "cli/run_options.h"

#include "cli/answer.h"
#include "cli/log_options.h"

#include <utility>

namespace bellhand::cli {

void add_run_options(const OptionSet& parser, RunInput& options) {
    add_listen_options(parser, options.listen);
    parser
        .add_option(
            "--tolerance",
            options.tolerance,
            "Factor on the tolerances of pitch, 0.2 to 5 (usual: as set in the window with J)")
        .range(0.2, 5.0)
        .type_name("FACTOR");
    parser
        .add_option("--feedback",
                    options.feedback_behind,
                    "How many notes later feedback comes, 0 to 4 (usual: 1)")
        .range(0, 4)
        .type_name("NOTES");
    parser.add_flag("--no-metronome", options.no_metronome, "No metronome where there is a tempo");
    parser.add_flag("--no-drone", options.no_drone, "No drone where intervals are to be pure");
    parser.add_flag("--cue", options.cue, "Sound the first note of each block before it");
}

void add_run_format_option(const OptionSet& parser, RunInput& options) {
    static const std::vector<Choice<bool>> kFormats = {{"text", false}, {"json", true}};
    parser.add_choice(
        "--format",
        options.json,
        kFormats,
        "text, or json: of a plan one answer, of what is played one a line for each event");
}

Result<terminal::RunStart> resolve_run(const RunInput& typed) {
    const app::Settings saved = app::load_settings(app::settings_path()).value_or(app::Settings{});
    auto listening = resolve_listening(typed.listen, saved);
    if (!listening) {
        return tl::unexpected(listening.error());
    }
    terminal::RunStart start;
    start.input = std::move(*listening);
    if (typed.listen.demo) { // the demo player has a hand of its own
        start.input.horn_profile.clear();
    }
    tidy(start.input.log_path);
    start.lesson.tuning = start.input.tuning;
    start.input.tolerance_factor = typed.tolerance.value_or(saved.tolerance_factor);
    start.lesson.tolerances.pitch_factor = start.input.tolerance_factor;
    start.lesson.metronome = !typed.no_metronome;
    start.lesson.drone = !typed.no_drone;
    start.lesson.reference = typed.cue;
    start.lesson.feedback_behind = typed.feedback_behind;
    start.sound = !typed.listen.demo && !typed.listen.input;
    if (typed.json) {
        start.as_answer = [profile = typed.listen.profile](const horn::Tuning& tuning,
                                                           const std::string& event) {
            Question question;
            question.tuning = tuning;
            question.profile = profile;
            return answer_line("event", question, event);
        };
    }
    return start;
}

} // namespace bellhand::cli
