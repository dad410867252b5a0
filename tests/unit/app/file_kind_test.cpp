#include "app/file_kind.h"

#include "core/assets.h"
#include "core/platform.h"

#include <fstream>
#include <string>

#include <doctest/doctest.h>

namespace bellhand::app {

namespace fs = std::filesystem;

namespace {

struct Folder {
    fs::path path =
        fs::temp_directory_path() / ("kind-test-" + std::to_string(platform::process_number()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    fs::path with(const std::string& name, const std::string& bytes) const {
        std::ofstream(path / name, std::ios::binary) << bytes;
        return path / name;
    }
};

std::string wide(const std::string& text) { // UTF-16, little end first, with its mark
    std::string bytes = "\xFF\xFE";
    for (const char c : text) {
        bytes += c;
        bytes += '\0';
    }
    return bytes;
}

} // namespace

TEST_CASE("a file is known by what is in it, whatever its name") {
    const Folder folder;
    const auto kind = [&](const std::string& bytes) {
        return *kind_of(folder.with("nameless", bytes));
    };
    const std::string score = "<?xml version=\"1.0\"?>\n<score-partwise version=\"4.0\">";
    CHECK(kind(score) == FileKind::music);
    CHECK(kind(wide(score)) == FileKind::music);
    CHECK(kind("<score-timewise>") == FileKind::music);
    CHECK(kind(std::string("MThd\0\0\0\6", 8)) == FileKind::music); // Standard MIDI File 1.0
    CHECK(kind("PK\x03\x04 ... META-INF/container.xml") == FileKind::music); // MusicXML 4.0, .mxl
    CHECK(kind("PK\x03\x04 ... homework.json") == FileKind::homework);
    CHECK(kind("\xEF\xBB\xBF {\"format\": \"bellhand exercises\"}") == FileKind::exercises);
    CHECK(kind("{}") == FileKind::horn_profile);
    CHECK(kind("RIFF....WAVE") == FileKind::sound);
    CHECK(kind("") == FileKind::sound);
    CHECK(kind("{\"format\": \"bellhand set list\"}") == FileKind::set_list);
}

TEST_CASE("the program's own files are known") {
    const fs::path assets = assets_folder();
    CHECK(*kind_of(assets / "exercises" / "tunes.json") == FileKind::exercises);
    CHECK(*kind_of(assets / "instruments" / "demo_coupler_horn.json") == FileKind::horn_profile);
    CHECK(*kind_of(assets / "setlists" / "demo_opera.json") == FileKind::set_list);
}

TEST_CASE("what is no file is refused in a sentence") {
    const Folder folder;
    CHECK(kind_of(folder.path).error().message.find("not an ordinary file") != std::string::npos);
    CHECK(kind_of(folder.path / "none").error().message.find("There is no file") !=
          std::string::npos);
}

} // namespace bellhand::app
