#include "app/settings.h"

#include "core/files.h"
#include "core/platform.h"
#include "trainer/tolerance.h"

#include <algorithm>
#include <fstream>
#include <iterator>

#include <nlohmann/json.hpp>

namespace bellhand::app {

namespace {

constexpr std::size_t kLargestFile = 65536;
constexpr std::size_t kLongestName = 512;

std::string not_understood(const std::filesystem::path& path, const std::string& why) {
    return "The settings in " + path.string() + " cannot be used (" + why +
           "); going on with the usual ones.";
}

// Files from before temperaments had a root lack all three.
Result<void> read_footing(const nlohmann::json& json, horn::Footing& footing) {
    if (json.contains("root")) {
        const auto root = horn::parse_root(json.at("root").get<std::string>());
        if (!root) {
            return tl::unexpected(root.error());
        }
        footing.root = *root;
    }
    const auto anchor = horn::anchor_of(json.value("anchor", horn::anchor_id(footing.anchor)));
    const auto enharmonic =
        horn::enharmonic_of(json.value("enharmonic", horn::enharmonic_id(footing.enharmonic)));
    if (!anchor || !enharmonic) {
        return failure("the anchor of the temperament makes no sense");
    }
    footing.anchor = *anchor;
    footing.enharmonic = *enharmonic;
    return {};
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
    if (auto read = read_footing(json, settings.tuning.footing); !read) {
        return tl::unexpected(read.error());
    }
    settings.device.name = json.at("device").get<std::string>();
    settings.device.channel = json.at("channel").get<int>();
    if (settings.device.name.size() > kLongestName || settings.device.channel < 0 ||
        settings.device.channel > 1024) {
        return failure("the device in it is not valid");
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
        const char* const hold = window.contains("lesson_hold_s")
                                     ? "lesson_hold_s"
                                     : "large_hold_s"; // as files before the lesson view say
        settings.window.lesson_hold_s = std::clamp(window.at(hold).get<double>(), 0.5, 5.0);
    }
    if (json.contains("sound")) {
        const nlohmann::json& sound = json.at("sound");
        settings.sound.output.name = sound.at("output").get<std::string>();
        settings.sound.level_dbfs = std::clamp(sound.at("level_dbfs").get<double>(),
                                               SoundSettings::kSoftest_dbfs,
                                               SoundSettings::kLoudest_dbfs);
        settings.sound.cautioned = sound.at("cautioned").get<bool>();
        if (settings.sound.output.name.size() > kLongestName) {
            return failure("the output in it is not valid");
        }
    }
    return settings;
}

} // namespace

std::filesystem::path settings_path() {
    return platform::settings_folder() / "settings.json";
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
    const horn::Footing& footing = settings.tuning.footing;
    nlohmann::json json = {{"crook", settings.tuning.crook.id},
                           {"a4_hz", settings.tuning.a4_hz},
                           {"temperament", settings.tuning.temperament.id},
                           {"anchor", horn::anchor_id(footing.anchor)},
                           {"enharmonic", horn::enharmonic_id(footing.enharmonic)},
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
                             {"lesson_hold_s", settings.window.lesson_hold_s}}}};
    if (footing.root) {
        json["root"] = horn::step_name(*footing.root);
    }
    const std::string text =
        json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
    std::error_code error;
    std::filesystem::create_directories(path.parent_path(), error);
    return write_file_in_one_step(path, text);
}

} // namespace bellhand::app
