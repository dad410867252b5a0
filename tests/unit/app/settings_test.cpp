#include "app/settings.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>

#include <unistd.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

/// A folder that is gone afterwards.
struct Folder {
    fs::path path = fs::temp_directory_path() / ("bellhand_settings_" + std::to_string(getpid()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
};

void write(const fs::path& path, const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
}

} // namespace

TEST_SUITE("app/settings") {
    TEST_CASE("what is saved is loaded, into folders that did not exist") {
        const Folder folder;
        const fs::path path = folder.path / "a" / "b" / "settings.json";
        app::Settings settings;
        settings.tuning.crook = *horn::parse_crook("Bb-basso");
        settings.tuning.a4_hz = 421.6;
        settings.tuning.temperament = *horn::parse_temperament("vallotti");
        settings.tuning.footing = {10, horn::Anchor::a, horn::Enharmonic::flat};
        settings.device.name = "Some \"microphone\" ♭";
        settings.device.channel = 2;
        settings.tolerance_factor = 1.25;
        REQUIRE(app::save_settings(path, settings));
        const auto loaded = app::load_settings(path);
        REQUIRE(loaded);
        CHECK(loaded->tuning == settings.tuning);
        CHECK(loaded->device.name == settings.device.name);
        CHECK(loaded->device.channel == 2);
        CHECK(loaded->tolerance_factor == 1.25);
        CHECK(std::distance(fs::directory_iterator(path.parent_path()), {}) == 1); // no leftovers
    }

    TEST_CASE("no file yet: the usual settings") {
        const Folder folder;
        const auto loaded = app::load_settings(folder.path / "none.json");
        REQUIRE(loaded);
        CHECK(loaded->tuning == horn::Tuning{});
    }

    TEST_CASE("a damaged file is refused with its name and what happens next") {
        const Folder folder;
        const fs::path path = folder.path / "settings.json";
        const std::string good =
            R"({"crook":"F","a4_hz":440,"temperament":"equal","device":"","channel":1})";
        write(path, good);
        REQUIRE(app::load_settings(path));
        CHECK(app::load_settings(path)->tuning.footing ==
              horn::Footing{}); // from before there was one
        std::vector<std::string> bad = {"",
                                        "{",
                                        "[]",
                                        "null",
                                        "{}",
                                        std::string(100000, ' '),
                                        std::string("\0\xff\xfe", 3),
                                        std::string(5000, '[')};
        for (const auto& [from, to] :
             std::vector<std::pair<std::string, std::string>>{{"\"F\"", "\"H\""},
                                                              {"\"F\"", "\"Bb\""},
                                                              {"440", "4400"},
                                                              {"440", "\"440\""},
                                                              {"\"equal\"", "7"},
                                                              {"\"equal\"", "\"odd\""},
                                                              {"\"channel\":1", "\"channel\":-1"},
                                                              {"\"channel\":1", "\"chanel\":1"}}) {
            std::string changed = good;
            changed.replace(changed.find(from), from.size(), to);
            bad.push_back(changed);
        }
        for (const std::string& text : bad) {
            CAPTURE(text.substr(0, 80));
            write(path, text);
            const auto loaded = app::load_settings(path);
            REQUIRE_FALSE(loaded);
            CHECK(loaded.error().message.find(path.string()) != std::string::npos);
            CHECK(loaded.error().message.find("usual ones") != std::string::npos);
        }
    }

    TEST_CASE("settings that cannot be written leave what stands there alone") {
        const Folder folder;
        const fs::path path = folder.path / "settings.json";
        fs::create_directories(path /
                               "full"); // a folder that holds something takes no file's place
        CHECK_FALSE(app::save_settings(path, {}));
        CHECK(fs::is_directory(path / "full"));
        CHECK(std::distance(fs::directory_iterator(folder.path), fs::directory_iterator()) == 1);
    }
}
