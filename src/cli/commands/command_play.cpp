#include "audio/take_player.h"
#include "cli/commands.h"
#include "core/platform.h"
#include "core/platform_terminal.h"

#include <chrono>
#include <cstdio>
#include <memory>
#include <thread>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

constexpr auto kPoll = std::chrono::milliseconds(50);
constexpr auto kFade = std::chrono::milliseconds(150);

struct PlayOptions {
    std::string file;
    double from_s = 0.0;
    double seconds = 0.0;
    double speed = 1.0;
    std::string device;
};

Result<int> play(const PlayOptions& options) {
    const auto player =
        audio::open_take(platform::path_of(options.file), parse_device(options.device));
    if (!player) {
        return tl::unexpected(player.error());
    }
    const double length_s = (*player)->status().length_s;
    if (options.from_s >= length_s) {
        return usage_error(fmt::format("'{}' is {:.1f} s long: it cannot be played from {:.1f} s.",
                                       options.file,
                                       length_s,
                                       options.from_s));
    }
    platform::catch_stop_signals();
    std::fprintf(
        stderr,
        "Playing %s from %.1f s at %g times its own speed. Turn headphones down before you put "
        "them on. Ctrl-C ends.\n",
        options.file.c_str(),
        options.from_s,
        options.speed);
    (*player)->set_speed(options.speed);
    (*player)->seek(options.from_s);
    (*player)->play();
    const double until_s = options.seconds > 0.0 ? options.from_s + options.seconds : length_s;
    std::string told;
    for (;;) {
        const audio::TakeStatus status = (*player)->status();
        if (status.message != told) {
            told = status.message;
            if (!told.empty()) {
                std::fprintf(stderr, "bellhand: %s\n", told.c_str());
            }
        }
        if (platform::stop_asked() || status.ended || status.position_s >= until_s) {
            break;
        }
        std::this_thread::sleep_for(kPoll);
    }
    (*player)->pause();
    std::this_thread::sleep_for(kFade); // not cut off
    return 0;
}

} // namespace

void add_play(CommandLine& line) {
    auto options = std::make_shared<PlayOptions>();
    const OptionSet command = add_command(line,
                                          "play",
                                          "Play a take or another sound file, slowly if you like",
                                          [options] { return play(*options); });
    command.add_option("FILE", options->file, "The sound file").required().type_name("");
    command.add_option("--from", options->from_s, "Begin at this second")
        .at_least(0.0)
        .type_name("S");
    command.add_option("--seconds", options->seconds, "Stop after so many seconds of the take")
        .at_least(0.0)
        .type_name("S");
    command.add_option("--speed", options->speed, "0.25 to 1.5; the pitch stays")
        .range(audio::kSlowest, audio::kFastest)
        .type_name("TIMES");
    command
        .add_option(
            "--device", options->device, "Sound through this output: name, part of it, or index")
        .type_name("NAME|INDEX");
}

} // namespace bellhand::cli
