#include "cli/program.h"

#include "app/file_kind.h"
#include "app/settings.h"
#include "cli/commands.h"
#include "cli/listen_options.h"
#include "core/platform.h"
#include "core/version.h"
#include "datafile/json_text.h"
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
    std::optional<std::string> file;
    ListenOptions listen;
    std::vector<std::string> drone;
    double beats_per_minute = 0.0;
    std::optional<std::string> output;
    std::optional<double> level_dbfs;
    bool text = false;
    double seconds = 0.0;
};

void add_plain_options(const OptionSet& parser, PlainOptions& options) {
    parser
        .add_option("FILE",
                    options.file,
                    "Open it: homework, exercises, a horn profile, a set list, a part, or sound to "
                    "listen to")
        .type_name("PATH");
    add_listen_options(parser, options.listen);
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
    parser.add_flag("--text", options.text, "Show the live view in the terminal, no window");
    parser.add_option("--seconds", options.seconds, "With --text: stop after this time")
        .at_least(0.0)
        .type_name("S");
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

/// What can be shown without a window of a file that the window would open. Errors (usage): which command does it.
Result<void> open_in_terminal(app::StartOptions& start) {
    const std::string name = start.opened_file->string();
    const auto kind = app::kind_of(*start.opened_file);
    if (!kind) {
        return tl::unexpected(kind.error());
    }
    const auto instead = [&](const std::string& command) -> Result<void> {
        return usage_error("Without a window `bellhand " + command + "` does it.");
    };
    switch (*kind) {
    case app::FileKind::homework:
        return instead("homework show " + name);
    case app::FileKind::exercises:
        return instead("drill " + name + " --show");
    case app::FileKind::horn_profile:
        return instead("build --key F --profile " + name);
    case app::FileKind::set_list:
        return instead("setlist " + name + " --profile PROFILE");
    case app::FileKind::music:
        return instead("part " + name);
    case app::FileKind::sound:
        start.input_file = start.opened_file;
    }
    return {};
}

Result<app::StartOptions> resolve(const PlainOptions& typed, const app::Settings& saved) {
    auto start = resolve_listening(typed.listen, saved);
    if (!start) {
        return start;
    }
    if (typed.file) {
        start->opened_file = platform::path_of(*typed.file);
        std::error_code unknown;
        if (!std::filesystem::exists(*start->opened_file, unknown)) {
            return usage_error("\"" + *typed.file +
                               "\" is neither a command nor a file (see: bellhand --help).");
        }
    }
    const auto sound = resolve_sound(typed, saved, start->tuning);
    if (!sound) {
        return tl::unexpected(sound.error());
    }
    start->sound = *sound;
    start->output = typed.output ? parse_device(*typed.output) : saved.sound.output;
    start->text = typed.text;
    start->stop_after_s = typed.seconds;
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
    auto start = resolve(typed, settings);
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
    if (start->opened_file) {
        if (const auto opened = open_in_terminal(*start); !opened) {
            return tl::unexpected(opened.error());
        }
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
    platform::begin_program();
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
