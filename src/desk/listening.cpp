#include "desk/listening.h"

#include "app/input.h"

namespace bellhand::desk {

std::string name_of(const InputChoice& choice) {
    switch (choice.kind) {
    case InputChoice::Kind::demo:
        return "demo player";
    case InputChoice::Kind::file:
        return choice.file.filename().string();
    default:
        break;
    }
    if (!choice.device.name.empty()) {
        return choice.device.name;
    }
    return choice.device.index < 0 ? "the default input"
                                   : "input " + std::to_string(choice.device.index);
}

Ear real_ear() {
    Ear ear;
    ear.begin = [](const InputChoice& choice, const practice::PracticeOptions& options) {
        app::StartOptions start;
        start.demo = choice.kind == InputChoice::Kind::demo;
        start.demo_seed = choice.demo_seed;
        start.demo_stand = choice.demo_stand;
        if (choice.kind == InputChoice::Kind::file) {
            start.input_file = choice.file;
        }
        start.device = choice.device;
        start.output = choice.output;
        start.sound_out = options.output;
        start.tuning = options.tuning;
        start.tolerance_factor = options.tolerance_factor;
        if (options.log_path) {
            start.log_path = *options.log_path;
        }
        start.beside = options.beside;
        return app::start_practice(start, {options.hand, options.open_notes});
    };
    ear.devices = audio::list_devices;
    return ear;
}

} // namespace bellhand::desk
