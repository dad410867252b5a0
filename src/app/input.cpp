#include "app/input.h"

#include "app/demo_player.h"
#include "audio/file.h"
#include "audio/synth.h"

namespace bellhand::app {

Result<std::unique_ptr<audio::Source>> open_input(const StartOptions& options) {
    if (options.demo) {
        const auto stand = options.demo_stand
                               ? options.demo_stand
                               : DemoPlayer(options.demo_seed, options.tuning).stand();
        return audio::make_synth(stand, audio::Pace::real_time);
    }
    if (options.input_file) {
        return audio::open_file(*options.input_file, audio::Pace::real_time, options.file_channel);
    }
    return audio::open_device(options.device);
}

Result<std::unique_ptr<practice::Practice>> start_practice(const StartOptions& options,
                                                           const PlayerHand& player) {
    auto source = open_input(options);
    if (!source) {
        return tl::unexpected(source.error());
    }
    std::shared_ptr<audio::Output> output = options.sound_out;
    if (!output) {
        auto opened = audio::open_output(options.output);
        if (!opened) {
            return tl::unexpected(opened.error());
        }
        output = std::move(*opened);
    }
    practice::PracticeOptions session;
    session.tuning = options.tuning;
    if (!options.log_path.empty()) {
        session.log_path = options.log_path;
    }
    session.beside = options.beside;
    session.output = std::move(output);
    session.hand = player.own;
    session.open_notes = player.open_notes;
    session.tolerance_factor = options.tolerance_factor;
    auto practice = practice::Practice::start(std::move(*source), session);
    if (practice && audio::audible(options.sound, {})) {
        (*practice)->sound(options.sound);
    }
    return practice;
}

} // namespace bellhand::app
