#include "gui/window_settings.h"

#include "core/platform.h"
#include "desk/store/own_files.h"

#include <cstdio>
#include <system_error>

namespace bellhand::gui {

desk::DeskStart desk_start(const app::StartOptions& options, const app::Settings& settings) {
    desk::DeskStart start;
    start.preferences = settings.window;
    start.tolerance_factor = settings.tolerance_factor;
    start.own_horn = !options.horn_profile.empty();
    // Asked once, unless the command line has said what is to be heard.
    std::error_code unknown;
    start.first_time = !options.demo && !options.input_file && !options.opened_file &&
                       options.device.name.empty() &&
                       !std::filesystem::exists(app::settings_path(), unknown);
    start.documents = platform::documents_folder();
    start.recent_files = app::settings_path().parent_path() / "recent_files.txt";
    start.horn_profile = start.own_horn ? options.horn_profile : desk::demo_horn_file();
    if (options.demo) {
        start.input.kind = desk::InputChoice::Kind::demo;
        start.input.demo_seed = options.demo_seed;
    } else if (options.input_file) {
        start.input.kind = desk::InputChoice::Kind::file;
        start.input.file = *options.input_file;
    }
    start.input.device = options.device;
    start.tuning = options.tuning;
    start.sound = settings.sound;
    if (!options.output.name.empty() || options.output.index >= 0) {
        start.sound.output = options.output;
    }
    if (!options.log_path.empty()) {
        start.log_path = options.log_path;
    }
    return start;
}

void remember(const desk::Desk& desk, const app::StartOptions& options, app::Settings settings) {
    settings.window = desk.preferences();
    settings.sound = desk.session().sound().settings();
    settings.tolerance_factor = desk.session().tolerance_factor();
    if (desk.session().horn_profile() != desk::demo_horn_file()) {
        settings.horn_profile = desk.session().horn_profile().string();
    }
    if (desk.session().input().kind == desk::InputChoice::Kind::device && !options.demo &&
        !options.input_file) {
        settings.tuning = desk.session().usual_tuning();
        settings.device = desk.session().input().device;
    }
    if (const auto kept = app::save_settings(app::settings_path(), settings); !kept) {
        std::fprintf(stderr, "bellhand: %s\n", kept.error().message.c_str());
    }
}

} // namespace bellhand::gui
