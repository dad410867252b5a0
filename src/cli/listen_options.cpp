#include "cli/listen_options.h"

#include "app/players_horn.h"
#include "core/platform.h"
#include "logbook/logbook.h"

namespace bellhand::cli {

namespace {

/// The demo's notes are invented: they stay out of the player's own log.
std::filesystem::path usual_log(bool demo) {
    std::filesystem::path path = logbook::default_path();
    return demo ? path.replace_filename("demo.sqlite") : path;
}

} // namespace

void add_source_options(const OptionSet& parser, ListenOptions& options) {
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
}

void add_listen_options(const OptionSet& parser, ListenOptions& options) {
    add_source_options(parser, options);
    add_tuning_options(parser, options.tuning);
    parser
        .add_option("--profile",
                    options.profile,
                    "Your own horn: its measured hand, and what was learnt of your open notes")
        .type_name("FILE");
    add_log_option(parser, options.log);
}

Result<app::StartOptions> resolve_listening(const ListenOptions& typed,
                                            const app::Settings& saved) {
    if ((typed.demo ? 1 : 0) + (typed.input ? 1 : 0) + (typed.device ? 1 : 0) > 1) {
        return usage_error("Choose one to listen to: --demo, --input or --device.");
    }
    const auto tuning = resolve_tuning(typed.tuning, saved.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    if (typed.profile) { // one that was named must be there; a remembered one may be missed
        if (const auto horn = app::PlayersHorn::open(platform::path_of(*typed.profile), true);
            !horn) {
            return tl::unexpected(horn.error());
        }
    }
    app::StartOptions start;
    start.demo = typed.demo;
    start.demo_seed = typed.seed;
    if (typed.input) {
        start.input_file = platform::path_of(*typed.input);
        start.file_channel = typed.channel.value_or(0);
    }
    start.device = typed.device ? parse_device(*typed.device) : saved.device;
    start.device.channel = typed.channel.value_or(start.device.channel);
    start.tuning = *tuning;
    start.tolerance_factor = saved.tolerance_factor;
    start.log_path = typed.log ? platform::path_of(*typed.log) : usual_log(typed.demo);
    start.horn_profile = platform::path_of(typed.profile.value_or(saved.horn_profile));
    return start;
}

} // namespace bellhand::cli
