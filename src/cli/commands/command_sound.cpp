#include "audio/output.h"
#include "cli/commands.h"
#include "core/platform_terminal.h"

#include <array>
#include <chrono>
#include <cstdio>
#include <memory>
#include <thread>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

using Clock = std::chrono::steady_clock;

constexpr auto kPoll = std::chrono::milliseconds(50);
constexpr auto kFadeOut = std::chrono::milliseconds(500);

struct SoundOptions {
    std::vector<std::string> drone;
    std::optional<std::string> note;
    double note_s = 2.0;
    double beats_per_minute = 0.0;
    int beats_in_bar = 4;
    double level_dbfs = -42.0;
    bool horn_colour = false;
    std::string device;
    double seconds = 0.0;
    TuningOptions tuning;
};

/// What is to sound, and the same in words.
struct Wish {
    audio::ReferenceSound sound;
    std::string words;
};

Result<double> frequency_hz(const std::string& typed, const horn::Tuning& tuning, Wish& wish) {
    const auto note = horn::parse_note(typed);
    if (!note) {
        return tl::unexpected(note.error());
    }
    const double hz = horn::target_hz(*note, tuning);
    wish.words += fmt::format(
        "{}{} ({:.2f} Hz)", wish.words.empty() ? "" : ", ", horn::ascii_name(*note), hz);
    return hz;
}

Result<Wish> wish_of(const SoundOptions& options) {
    if (options.drone.empty() && !options.note && options.beats_per_minute == 0.0) {
        return usage_error("Say what to sound: --drone, --note or --tempo.");
    }
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    Wish wish;
    for (std::size_t i = 0; i < options.drone.size(); ++i) {
        const auto hz = frequency_hz(options.drone[i], *tuning, wish);
        if (!hz) {
            return tl::unexpected(hz.error());
        }
        wish.sound.drone_hz[i] = *hz;
    }
    if (options.note) {
        const auto hz = frequency_hz(*options.note, *tuning, wish);
        if (!hz) {
            return tl::unexpected(hz.error());
        }
        wish.sound.note_hz = *hz;
        wish.sound.note_s = options.note_s;
        wish.sound.note_request = 1;
    }
    if (options.beats_per_minute > 0.0) {
        wish.words += fmt::format(
            "{}{:g} beats a minute", wish.words.empty() ? "" : ", ", options.beats_per_minute);
        wish.sound.beats_per_minute = options.beats_per_minute;
        wish.sound.beats_in_bar = options.beats_in_bar;
    }
    wish.sound.set_level(options.level_dbfs);
    wish.sound.colour =
        options.horn_colour ? audio::ReferenceColour::horn : audio::ReferenceColour::soft_sawtooth;
    return wish;
}

/// Until the time is over or somebody wants it to stop; tells what the output says meanwhile.
void wait(const audio::Output& output, double seconds) {
    std::string told;
    std::optional<Clock::time_point> sounding_since;
    while (!platform::stop_asked()) {
        const audio::OutputStatus status = output.status();
        if (status.message != told) {
            told = status.message;
            if (!told.empty()) {
                std::fprintf(stderr, "bellhand: %s\n", told.c_str());
            }
        }
        if (status.state == audio::SourceState::running && !sounding_since) {
            sounding_since = Clock::now();
        }
        if (seconds > 0.0 && sounding_since &&
            Clock::now() - *sounding_since >= std::chrono::duration<double>(seconds)) {
            return;
        }
        std::this_thread::sleep_for(kPoll);
    }
}

Result<int> sound(const SoundOptions& options) {
    const auto wish = wish_of(options);
    if (!wish) {
        return tl::unexpected(wish.error());
    }
    const auto output = audio::open_output(parse_device(options.device));
    if (!output) {
        return tl::unexpected(output.error());
    }
    platform::catch_stop_signals();
    std::fprintf(stderr,
                 "Sounding %s. Turn headphones down before you put them on. Ctrl-C ends.\n",
                 wish->words.c_str());
    (*output)->play(wish->sound);
    if (auto started = (*output)->start(); !started) {
        return tl::unexpected(started.error());
    }
    wait(**output, options.seconds);
    audio::ReferenceSound silence;
    silence.note_request = wish->sound.note_request;
    (*output)->play(silence);
    std::this_thread::sleep_for(kFadeOut); // not cut off
    (*output)->stop();
    return 0;
}

} // namespace

void add_sound(CommandLine& line) {
    auto options = std::make_shared<SoundOptions>();
    const OptionSet command =
        add_command(line, "sound", "Sound a drone, a reference note or a metronome", [options] {
            return sound(*options);
        });
    command.add_option("--drone", options->drone, "Up to four written notes that sound on")
        .at_most(audio::ReferenceSound::kDroneVoices)
        .type_name("NOTE...");
    command.add_option("--note", options->note, "A written note that sounds once")
        .type_name("NOTE");
    command.add_option("--note-seconds", options->note_s, "For how long")
        .range(0.1, 60.0)
        .type_name("S");
    command.add_option("--tempo", options->beats_per_minute, "Metronome: beats a minute, 20 to 300")
        .range(20.0, 300.0)
        .type_name("BEATS");
    command
        .add_option("--beats",
                    options->beats_in_bar,
                    "Beats in a bar, the first of them higher; 0: all alike")
        .range(0, 32)
        .type_name("N");
    command
        .add_option("--level",
                    options->level_dbfs,
                    "Level of a drone's note in dBFS; the usual -42 is soft")
        .range(-80.0, -20.0)
        .type_name("DB");
    command.add_flag(
        "--horn", options->horn_colour, "The colour of a soft horn instead of a soft sawtooth");
    command
        .add_option(
            "--device", options->device, "Sound through this output: name, part of it, or index")
        .type_name("NAME|INDEX");
    command.add_option("--seconds", options->seconds, "Stop after this time")
        .at_least(0.0)
        .type_name("S");
    add_tuning_options(command, options->tuning);
}

} // namespace bellhand::cli
