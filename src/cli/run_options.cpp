#include "cli/run_options.h"

#include "app/players_horn.h"
#include "app/settings.h"
#include "cli/log_options.h"
#include "logbook/logbook.h"

namespace bellhand::cli {

void add_run_options(const OptionSet& parser, RunInput& options) {
    parser.add_flag("--demo", options.demo, "Listen to the built-in demo player");
    parser
        .add_option(
            "--seed", options.seed, "Seed of the demo player: another number, another performance")
        .type_name("N");
    parser
        .add_option("--input", options.input, "Listen to a sound file at the pace it was recorded")
        .type_name("FILE");
    parser.add_option("--device", options.device, "Listen to this input (see: bellhand devices)")
        .type_name("NAME|INDEX");
    parser.add_option("--channel", options.channel, "Channel to listen to, from 1; 0 mixes all")
        .range(0, 1024)
        .type_name("N");
    parser
        .add_option("--profile",
                    options.profile,
                    "Profile of your own horn, with its measured hand (see: bellhand calibrate)")
        .type_name("FILE");
    add_log_option(parser, options.log);
    add_tuning_options(parser, options.tuning);
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
    parser.add_choice("--format",
                      options.json,
                      kFormats,
                      "text, or json: of a plan one object, of what is played an event a line");
}

Result<terminal::RunStart> resolve_run(const RunInput& typed) {
    if ((typed.demo ? 1 : 0) + (typed.input ? 1 : 0) + (typed.device ? 1 : 0) > 1) {
        return usage_error("Choose one to listen to: --demo, --input or --device.");
    }
    const auto saved = app::load_settings(app::settings_path());
    const app::Settings settings = saved.value_or(app::Settings{});
    const auto tuning = resolve_tuning(typed.tuning, settings.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    terminal::RunStart start;
    start.input.demo = typed.demo;
    start.input.demo_seed = typed.seed;
    if (typed.input) {
        start.input.input_file = *typed.input;
        start.input.file_channel = typed.channel.value_or(0);
    }
    start.input.device = typed.device ? parse_device(*typed.device) : settings.device;
    start.input.device.channel = typed.channel.value_or(start.input.device.channel);
    start.input.tuning = *tuning;
    start.input.log_path = typed.log ? std::filesystem::path(*typed.log) : logbook::default_path();
    if (typed.demo && !typed.log) {
        start.input.log_path.replace_filename(
            "demo.sqlite"); // invented notes stay out of the player's log
    }
    tidy(start.input.log_path);
    if (typed.profile) { // one that was named must be there; a remembered one may be missed
        if (const auto horn = app::PlayersHorn::open(*typed.profile, true); !horn) {
            return tl::unexpected(horn.error());
        }
    }
    if (!typed.demo) { // the demo player has a hand of its own
        start.input.horn_profile = typed.profile.value_or(settings.horn_profile);
    }
    start.lesson.tuning = *tuning;
    start.input.tolerance_factor = typed.tolerance.value_or(settings.tolerance_factor);
    start.lesson.tolerances.pitch_factor = start.input.tolerance_factor;
    start.lesson.metronome = !typed.no_metronome;
    start.lesson.drone = !typed.no_drone;
    start.lesson.reference = typed.cue;
    start.lesson.feedback_behind = typed.feedback_behind;
    start.sound = !typed.demo && !typed.input;
    start.json = typed.json;
    return start;
}

} // namespace bellhand::cli
