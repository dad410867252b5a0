#include "core/platform.h"
#include "support/environment.h"

#include <chrono>
#include <cstdlib>
#include <fstream>
#include <string>
#include <thread>

#include <doctest/doctest.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

struct Folder {
    fs::path path = fs::temp_directory_path() /
                    ("show-folder-test-" + std::to_string(platform::process_number()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
};

} // namespace

TEST_SUITE("core/platform") {
    TEST_CASE("a folder is shown by the system's program for files, whatever its name") {
        const Folder place;
        const fs::path said = place.path / "said";
        const fs::path program = place.path / "xdg-open";
        std::ofstream(program) << "#!/bin/sh\nprintf %s \"$1\" > '" << said.string() << "x' && mv '"
                               << said.string() << "x' '" << said.string() << "'\n";
        fs::permissions(program, fs::perms::owner_all);
        const test::Variable path("PATH", place.path.string() + ":/usr/bin:/bin");
        const std::string name = "/Größe ♭ \"$HOME\" 'it'";
        REQUIRE(platform::show_folder(name));
        for (int i = 0; i < 1000 && !fs::exists(said); ++i) {
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        }
        std::string heard;
        std::getline(std::ifstream(said), heard);
        CHECK(heard == name);
    }

    TEST_CASE("where there is no such program, that is told") {
        const Folder place;
        fs::create_symlink("/bin/sh", place.path / "sh");
        const test::Variable path("PATH", place.path.string());
        CHECK_FALSE(platform::show_folder("/"));
    }
}
