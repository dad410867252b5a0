#include "cli/program.h"

#include "app/players_horn.h"
#include "app/settings.h"
#include "cli/commands.h"
#include "core/version.h"
#include "datafile/json_text.h"
#include "logbook/logbook.h"
#include "terminal/text_view.h"

#include <algorithm>
#include <cstdio>
#include <memory>

namespace bellhand::cli {

namespace {

constexpr int kFailureExit = 1;
constexpr int kUsageExit = 2;

/// Options of the plain command, which opens the window.
struct PlainOptions {
    bool demo = false;
    std::uint64_t seed = 1;
    std::optional<std::string> input;
    std::optional<std::string> device;
    std::optional<int> channel;
    TuningOptions tuning;
    std::vector<std::string> drone;
    double beats_per_minute = 0.0;
    std::optional<std::string> output;
    std::optional<double> level_dbfs;
    std::optional<std::string> profile;
    std::optional<std::string> log;
    bool text = false;
    double seconds = 0.0;
};

void add_plain_options(const OptionSet& parser, PlainOptions& options) {
    parser.add_flag("--demo", options.demo, "Listen to the built-in demo player");
    parser
        .add_option(
            "--seed", options.seed, "Seed of the demo player: another number, another performance")
        .type_name("N");
    parser
        .add_option("--input", options.input, "Listen to a sound file at the pace it was recorded")
        .type_name("FILE");
    parser
        .add_option("--device",
                    options.device,
                    "Listen to this input: name, part of it, or index (see: bellhand devices)")
        .type_name("NAME|INDEX");
    parser
        .add_option(
            "--channel",
            options.channel,
            "Channel to listen to, from 1; 0 mixes all (usual: 1 of a device, all of a file)")
        .range(0, 1024)
        .type_name("N");
    add_tuning_options(parser, options.tuning);
    parser.add_option("--drone", options.drone, "Sound these written notes all the while")
        .at_most(audio::ReferenceSound::kDroneVoices)
        .type_name("NOTE...");
    parser.add_option("--tempo", options.beats_per_minute, "Sound a metronome, 20 to 300 a minute")
        .range(20.0, 300.0)
        .type_name("BEATS");
    parser.add_option("--output", options.output, "Sound through this output")
        .type_name("NAME|INDEX");
    parser.add_option("--level", options.level_dbfs, "Level of the drone in dBFS; -42 is soft")
        .range(app::SoundSettings::kSoftest_dbfs, app::SoundSettings::kLoudest_dbfs)
        .type_name("DB");
    parser
        .add_option("--profile",
                    options.profile,
                    "Your own horn: its measured hand, and what was learnt of your open notes")
        .type_name("FILE");
    add_log_option(parser, options.log);
    parser.add_flag("--text", options.text, "Show the live view in the terminal, no window");
    parser.add_option("--seconds", options.seconds, "With --text: stop after this time")
        .at_least(0.0)
        .type_name("S");
}

/// The demo's notes are invented: they stay out of the player's own log.
std::filesystem::path usual_log(bool demo) {
    std::filesystem::path path = logbook::default_path();
    return demo ? path.replace_filename("demo.sqlite") : path;
}

Result<audio::ReferenceSound>
resolve_sound(const PlainOptions& typed, const app::Settings& saved, const horn::Tuning& tuning) {
    audio::ReferenceSound sound;
    for (std::size_t i = 0; i < typed.drone.size(); ++i) {
        const auto note = horn::parse_note(typed.drone[i]);
        if (!note) {
            return tl::unexpected(note.error());
        }
        sound.drone_hz[i] = horn::target_hz(*note, tuning);
    }
    sound.set_level(typed.level_dbfs.value_or(saved.sound.level_dbfs));
    sound.beats_per_minute = typed.beats_per_minute;
    return sound;
}

Result<app::StartOptions> resolve(const PlainOptions& typed, const app::Settings& saved) {
    if (typed.demo && (typed.input || typed.device)) {
        return usage_error("--demo brings its own player: leave out --input and --device.");
    }
    if (typed.input && typed.device) {
        return usage_error("Choose one to listen to: --input or --device.");
    }
    const auto tuning = resolve_tuning(typed.tuning, saved.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    if (typed.profile) { // one that was named must be there; a remembered one may be missed
        if (const auto horn = app::PlayersHorn::open(*typed.profile, true); !horn) {
            return tl::unexpected(horn.error());
        }
    }
    app::StartOptions start;
    start.demo = typed.demo;
    start.demo_seed = typed.seed;
    if (typed.input) {
        start.input_file = *typed.input;
        start.file_channel = typed.channel.value_or(0);
    }
    start.device = typed.device ? parse_device(*typed.device) : saved.device;
    start.device.channel = typed.channel.value_or(start.device.channel);
    start.tuning = *tuning;
    start.tolerance_factor = saved.tolerance_factor;
    start.output = typed.output ? parse_device(*typed.output) : saved.sound.output;
    const auto sound = resolve_sound(typed, saved, *tuning);
    if (!sound) {
        return tl::unexpected(sound.error());
    }
    start.sound = *sound;
    start.log_path = typed.log ? std::filesystem::path(*typed.log) : usual_log(typed.demo);
    start.horn_profile = typed.profile.value_or(saved.horn_profile);
    start.text = typed.text;
    start.stop_after_s = typed.seconds;
    return start;
}

app::Settings remembered() {
    const auto saved = app::load_settings(app::settings_path());
    if (!saved) {
        std::fprintf(stderr, "bellhand: %s\n", saved.error().message.c_str());
        return {};
    }
    return *saved;
}

Result<int> open_view(const PlainOptions& typed, const Window& window) {
    app::Settings settings = remembered();
    const auto start = resolve(typed, settings);
    if (!start) {
        return tl::unexpected(start.error());
    }
    if (!start->text) {
        if (const std::optional<int> code = window(*start)) {
            return *code;
        }
        std::fprintf(
            stderr,
            "bellhand: there is no display for a window, so the view is in this terminal.\n");
    }
    if (audio::audible(start->sound, {})) {
        std::fprintf(stderr, "bellhand: turn headphones down before you put them on.\n");
    }
    const auto tuning = terminal::run_text_view(*start);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    if (!start->demo && !start->input_file) {
        settings.tuning = *tuning;
        settings.device = start->device;
        if (const auto kept = app::save_settings(app::settings_path(), settings); !kept) {
            return tl::unexpected(kept.error());
        }
    }
    return 0;
}

int print_error(const Error& error) {
    // A sentence may name a file, and names can hold anything.
    std::fprintf(stderr, "bellhand: %s\n", datafile::plain_line(error.message).c_str());
    return error.kind == ErrorKind::usage ? kUsageExit : kFailureExit;
}

} // namespace

int run(int argc, const char* const* argv, const Window& window) {
    CommandParser parser("bellhand",
                         "Bellhand: practice tuner and partial trainer for the natural horn.\n"
                         "Without a command it opens the window.",
                         version(),
                         "Exit code: 0 done, 1 failure, 2 bad usage. Help on a command: bellhand "
                         "COMMAND --help");
    PlainOptions options;
    CommandLine line{parser.options(), [&options, &window] { return open_view(options, window); }};
    add_plain_options(line.options, options);
    add_all_commands(line);

    const auto asked = parser.parse(argc, argv);
    if (!asked) {
        return print_error(asked.error());
    }
    if (*asked) { // help or version
        return **asked;
    }
    const Result<int> code = line.chosen();
    if (!code) {
        return print_error(code.error());
    }
    if (std::fflush(stdout) != 0 || std::ferror(stdout) != 0) {
        return print_error({"The output could not be written completely: is the disk full?"});
    }
    return *code;
}

} // namespace bellhand::cli
