#include "cli/commands.h"

#include <algorithm>

namespace bellhand::cli {

OptionSet add_command(CommandLine& line, const char* name, const char* purpose, Action action) {
    const OptionSet command = line.options.add_command(name, purpose);
    command.when_chosen([&line, action = std::move(action)] { line.chosen = action; });
    return command;
}

void add_tuning_options(const OptionSet& parser, TuningOptions& options) {
    parser
        .add_option("--crook",
                    options.crook,
                    "The crook in the horn: C-alto, Bb-alto, A, G, F, Eb, D, C-basso, Bb-basso ...")
        .type_name("NAME");
    add_pitch_options(parser, options);
}

void add_pitch_options(const OptionSet& parser, TuningOptions& options) {
    parser.add_option("--a4", options.a4_hz, "Pitch of A4 in Hz, 380 to 470").type_name("HZ");
    parser
        .add_option("--temperament",
                    options.temperament,
                    "Temperament you play in: equal, vallotti, just ...")
        .type_name("NAME");
    parser
        .add_option("--root",
                    options.root,
                    "Sounding note that an unequal temperament is built on, such as C or Eb; key "
                    "(usual): the crook's own")
        .type_name("NOTE|key");
    parser
        .add_option("--anchor",
                    options.anchor,
                    "What stays at the day's pitch: key (alone: the tube's own notes are in tune) "
                    "or a (in company: their A)")
        .one_of({"key", "a"});
    parser
        .add_option(
            "--enharmonic",
            options.enharmonic,
            "Which of two notes the black key is that a meantone has only once: sharp (on C: "
            "G sharp) or flat (A flat)")
        .one_of({"sharp", "flat"});
}

Result<horn::Tuning> resolve_tuning(const TuningOptions& options, const horn::Tuning& otherwise) {
    horn::Tuning tuning = otherwise;
    if (options.crook) {
        const auto crook = horn::parse_crook(*options.crook);
        if (!crook) {
            return tl::unexpected(crook.error());
        }
        tuning.crook = *crook;
    }
    if (options.a4_hz) {
        const auto a4_hz = horn::checked_a4(*options.a4_hz);
        if (!a4_hz) {
            return tl::unexpected(a4_hz.error());
        }
        tuning.a4_hz = *a4_hz;
    }
    if (options.temperament) {
        const auto temperament = horn::parse_temperament(*options.temperament);
        if (!temperament) {
            return tl::unexpected(temperament.error());
        }
        tuning.temperament = *temperament;
    }
    if (options.root && *options.root == "key") {
        tuning.footing.root.reset();
    } else if (options.root) {
        const auto root = horn::parse_root(*options.root);
        if (!root) {
            return tl::unexpected(root.error());
        }
        tuning.footing.root = *root;
    }
    tuning.footing.anchor =
        options.anchor ? *horn::anchor_of(*options.anchor) : tuning.footing.anchor;
    tuning.footing.enharmonic =
        options.enharmonic ? *horn::enharmonic_of(*options.enharmonic) : tuning.footing.enharmonic;
    return tuning;
}

void add_log_option(const OptionSet& parser, std::optional<std::string>& path) {
    parser.add_option("--log", path, "The log to use instead of the usual one").type_name("PATH");
}

void add_channel_option(const OptionSet& parser, int& channel) {
    parser.add_option("--channel", channel, "Channel to listen to, from 1; 0 mixes all")
        .range(0, 1024)
        .type_name("N")
        .show_default();
}

void add_format_option(const OptionSet& parser, TableFormat& format) {
    static const std::vector<Choice<TableFormat>> kNames = {
        {"table", TableFormat::table}, {"csv", TableFormat::csv}, {"json", TableFormat::json}};
    parser.add_choice("--format", format, kNames, "How to print: table, csv or json");
}

audio::DeviceChoice parse_device(const std::string& typed) {
    audio::DeviceChoice choice;
    const bool number =
        !typed.empty() && typed.size() < 7 &&
        std::all_of(typed.begin(), typed.end(), [](char c) { return c >= '0' && c <= '9'; });
    if (number) {
        choice.index = std::stoi(typed);
    } else {
        choice.name = typed;
    }
    return choice;
}

} // namespace bellhand::cli
