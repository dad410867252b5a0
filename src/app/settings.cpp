#include "app/settings.h"

#include "trainer/tolerance.h"

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iterator>

#include <nlohmann/json.hpp>

#include <fcntl.h>
#include <unistd.h>

namespace bellhand::app {

namespace {

constexpr std::size_t kLargestFile = 65536;
constexpr std::size_t kLongestName = 512;

std::string not_understood(const std::filesystem::path& path, const std::string& why) {
    return "The settings in " + path.string() + " cannot be used (" + why +
           "); going on with the usual ones.";
}

Result<Settings> from_json(const nlohmann::json& json) {
    Settings settings;
    const auto crook = horn::parse_crook(json.at("crook").get<std::string>());
    if (!crook) {
        return tl::unexpected(crook.error());
    }
    settings.tuning.crook = *crook;
    const auto a4_hz = horn::checked_a4(json.at("a4_hz").get<double>());
    if (!a4_hz) {
        return tl::unexpected(a4_hz.error());
    }
    settings.tuning.a4_hz = *a4_hz;
    const auto temperament = horn::parse_temperament(json.at("temperament").get<std::string>());
    if (!temperament) {
        return tl::unexpected(temperament.error());
    }
    settings.tuning.temperament = *temperament;
    settings.device.name = json.at("device").get<std::string>();
    settings.device.channel = json.at("channel").get<int>();
    if (settings.device.name.size() > kLongestName || settings.device.channel < 0 ||
        settings.device.channel > 1024) {
        return failure("the device makes no sense");
    }
    if (json.contains("tolerance_factor")) {
        settings.tolerance_factor = std::clamp(
            json.at("tolerance_factor").get<double>(), trainer::kStrictest, trainer::kKindest);
    }
    if (json.contains("horn_profile")) {
        settings.horn_profile = json.at("horn_profile").get<std::string>();
    }
    if (json.contains("window")) { // files from before the window had settings lack it
        const nlohmann::json& window = json.at("window");
        settings.window.dark = window.at("dark").get<bool>();
        settings.window.type_scale = std::clamp(window.at("type_scale").get<double>(), 0.75, 3.0);
        settings.window.large_hold_s =
            std::clamp(window.at("large_hold_s").get<double>(), 0.5, 5.0);
    }
    if (json.contains("sound")) {
        const nlohmann::json& sound = json.at("sound");
        settings.sound.output.name = sound.at("output").get<std::string>();
        settings.sound.level_dbfs = std::clamp(sound.at("level_dbfs").get<double>(),
                                               SoundSettings::kSoftest_dbfs,
                                               SoundSettings::kLoudest_dbfs);
        settings.sound.cautioned = sound.at("cautioned").get<bool>();
        if (settings.sound.output.name.size() > kLongestName) {
            return failure("the output makes no sense");
        }
    }
    return settings;
}

Result<void> write_whole(const std::filesystem::path& path, const std::string& text) {
    const auto failed = [&path] {
        return failure("The settings cannot be saved in " + path.string() + ": " +
                       std::strerror(errno) + ".");
    };
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
    if (file < 0) {
        return failed();
    }
    std::size_t written = 0;
    while (written < text.size()) {
        const ssize_t step = ::write(file, text.data() + written, text.size() - written);
        if (step < 0 && errno == EINTR) {
            continue;
        }
        if (step <= 0) {
            auto error = failed();
            ::close(file);
            return error;
        }
        written += static_cast<std::size_t>(step);
    }
    if (::fsync(file) != 0) {
        auto error = failed();
        ::close(file);
        return error;
    }
    ::close(file);
    return {};
}

} // namespace

std::filesystem::path settings_path() {
    const char* config = std::getenv("XDG_CONFIG_HOME");
    if (config != nullptr && config[0] == '/') {
        return std::filesystem::path(config) / "bellhand" / "settings.json";
    }
    const char* home = std::getenv("HOME");
    return std::filesystem::path(home != nullptr ? home : "/") / ".config" / "bellhand" /
           "settings.json";
}

Result<Settings> load_settings(const std::filesystem::path& path) {
    std::error_code error;
    const auto size = std::filesystem::file_size(path, error);
    if (error == std::errc::no_such_file_or_directory) {
        return Settings{};
    }
    std::ifstream in(path, std::ios::binary);
    if (error || !in) {
        return failure(not_understood(path, "the file cannot be read"));
    }
    if (size > kLargestFile) {
        return failure(not_understood(path, "the file is far too large"));
    }
    const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    try {
        auto settings = from_json(nlohmann::json::parse(text));
        if (!settings) {
            return failure(not_understood(path, settings.error().message));
        }
        return settings;
    } catch (const nlohmann::json::exception&) {
        return failure(not_understood(path, "the file is damaged"));
    }
}

Result<void> save_settings(const std::filesystem::path& path, const Settings& settings) {
    const nlohmann::json json = {{"crook", settings.tuning.crook.id},
                                 {"a4_hz", settings.tuning.a4_hz},
                                 {"temperament", settings.tuning.temperament.id},
                                 {"device", settings.device.name},
                                 {"channel", settings.device.channel},
                                 {"tolerance_factor", settings.tolerance_factor},
                                 {"horn_profile", settings.horn_profile},
                                 {"sound",
                                  {{"output", settings.sound.output.name},
                                   {"level_dbfs", settings.sound.level_dbfs},
                                   {"cautioned", settings.sound.cautioned}}},
                                 {"window",
                                  {{"dark", settings.window.dark},
                                   {"type_scale", settings.window.type_scale},
                                   {"large_hold_s", settings.window.large_hold_s}}}};
    const std::string text =
        json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
    std::error_code error;
    std::filesystem::create_directories(path.parent_path(), error);
    std::filesystem::path fresh = path;
    fresh += ".new";
    if (auto written = write_whole(fresh, text); !written) {
        std::filesystem::remove(fresh, error);
        return written;
    }
    std::filesystem::rename(fresh, path, error);
    if (error) {
        return failure("The settings cannot be saved in " + path.string() + ": " + error.message() +
                       ".");
    }
    return {};
}

} // namespace bellhand::app
