#include "core/files.h"

#include "core/platform.h"

#include <filesystem>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

struct Folder {
    fs::path path =
        fs::temp_directory_path() /
        platform::path_of("bellhand_files_" + std::to_string(platform::process_number()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
};

std::string why(const Result<void>& result) {
    return result ? std::string() : result.error().message;
}

} // namespace

TEST_SUITE("files") {
    TEST_CASE("a folder that is not there is named, with what to do") {
        const Folder folder;
        const auto written = write_file_in_one_step(folder.path / "no" / "a", "x");
        CHECK(why(written).find("choose a folder that exists") != std::string::npos);
    }

    TEST_CASE("a small file is read up to its limit and not one byte beyond") {
        const Folder folder;
        const fs::path path = folder.path / "a";
        REQUIRE(write_file_in_one_step(path, "12345"));
        CHECK(read_small_file(path, 5) == "12345");
        const auto beyond = read_small_file(path, 4);
        REQUIRE_FALSE(beyond);
        CHECK(beyond.error().message.find("too large (5 bytes): at most 4") != std::string::npos);
        REQUIRE(write_file_in_one_step(path, ""));
        CHECK(read_small_file(path, 5) == "");
    }

    TEST_CASE("a folder is made with all above it; a file in its way is an error") {
        const Folder folder;
        REQUIRE(make_folder(folder.path / "b" / "c"));
        CHECK(fs::is_directory(folder.path / "b" / "c"));
        CHECK(make_folder(folder.path / "b" / "c"));
        REQUIRE(write_file_in_one_step(folder.path / "f", "x"));
        CHECK(why(make_folder(folder.path / "f" / "c")).find("cannot be made") !=
              std::string::npos);
    }
}
