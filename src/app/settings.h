#pragma once

#include "audio/device.h"
#include "core/result.h"
#include "horn/tuning.h"

#include <filesystem>
#include <string>

namespace bellhand::app {

/// How the window looks.
struct WindowSettings {
    bool dark = false;
    double type_scale = 1.0;    ///< of all type, 0.75 to 3
    double lesson_hold_s = 1.5; ///< how long the lesson view frames a note at least, 0.5 to 5

    friend bool operator==(const WindowSettings&, const WindowSettings&) = default;
};

/// What the program itself sounds through, and how loud.
struct SoundSettings {
    audio::DeviceChoice output{};
    double level_dbfs = -42.0; ///< of a drone's voice, kSoftest_dbfs to kLoudest_dbfs
    bool cautioned = false;    ///< the caution about loudness was read once

    static constexpr double kSoftest_dbfs = -66.0;
    static constexpr double kLoudest_dbfs = -24.0;
};

/// What the program remembers from one day to the next.
struct Settings {
    horn::Tuning tuning{};
    audio::DeviceChoice device{}; ///< by name; an index means nothing the next day
    WindowSettings window{};
    SoundSettings sound{};
    double tolerance_factor = 1.0; ///< of the player, on `trainer::tolerance_cents`
    std::string horn_profile;      ///< file of the player's own horn; empty: the demo horn
};

/// `$XDG_CONFIG_HOME/bellhand/settings.json`, else `~/.config/...`.
[[nodiscard]] std::filesystem::path settings_path();

/// Settings as saved; the usual ones when there is no file yet. Errors: a file that cannot be read or understood; the
/// caller says so and goes on with the usual ones.
[[nodiscard]] Result<Settings> load_settings(const std::filesystem::path& path);

/// Replaces the file as a whole: after a crash it is either the old or the new one. Errors: not writable.
[[nodiscard]] Result<void> save_settings(const std::filesystem::path& path,
                                         const Settings& settings);

} // namespace bellhand::app
