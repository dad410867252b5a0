#include "core/platform.h"

#include <array>
#include <fstream>
#include <string>

#include <doctest/doctest.h>

namespace bellhand::platform {

namespace fs = std::filesystem;

namespace {

struct Folder {
    fs::path path =
        fs::temp_directory_path() / path_of("platform-test-" + std::to_string(process_number()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
};

std::span<const unsigned char> bytes_of(std::string_view text) {
    return {reinterpret_cast<const unsigned char*>(text.data()), text.size()};
}

std::string text_in(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

} // namespace

TEST_CASE("a file is made once, opened only where it is, and written at places") {
    const Folder folder;
    const fs::path path = folder.path / path_of("Größe ♭.sound");
    bool missing = false;
    CHECK_FALSE(File::open(path, File::Use::change, &missing));
    CHECK(missing);
    auto file = File::open(path, File::Use::create);
    REQUIRE(file);
    CHECK_FALSE(File::open(path, File::Use::create, &missing));
    CHECK_FALSE(missing);
    CHECK(file->write_at(bytes_of("horn"), 0) == 4);
    CHECK(file->write_at(bytes_of("bell"), 6) == 4);
    CHECK(file->flush());
    CHECK(file->size() == 10);
    std::array<unsigned char, 20> got{};
    CHECK(file->read_at(got, 6) == 4);
    CHECK(got[0] == 'b');
    CHECK(file->close());
    CHECK(text_in(path) == std::string("horn\0\0bell", 10));
    CHECK(path.filename().string() == "Größe ♭.sound");
}

TEST_CASE("a lock keeps others out as long as the file is open, and no link is followed") {
    const Folder folder;
    const fs::path path = folder.path / "take.sound";
    {
        auto mine = File::open(path, File::Use::create);
        REQUIRE(mine);
        CHECK(mine->lock());
        auto other = File::open(path, File::Use::change);
        REQUIRE(other);
        CHECK_FALSE(other->lock());
        CHECK(mine->named());
    }
    auto next = File::open(path, File::Use::change);
    REQUIRE(next);
    CHECK(next->lock());
    remove_file(path);
    CHECK_FALSE(next->named());
    remove_file(path); // silent
    std::ofstream(folder.path / "target") << "x";
    fs::create_symlink(folder.path / "target", folder.path / "link");
    CHECK_FALSE(File::open(folder.path / "link", File::Use::change));
}

TEST_CASE("one file takes the place of another, or leaves it") {
    const Folder folder;
    const fs::path path = folder.path / "log";
    std::ofstream(path) << "old";
    auto fresh = File::open_beside(path);
    REQUIRE(fresh);
    const fs::path beside = fresh->path();
    CHECK(beside.parent_path() == path.parent_path());
    CHECK(fresh->write_at(bytes_of("new"), 0) == 3);
    CHECK(fresh->close());
    CHECK(text_in(path) == "old");
    CHECK(replace_file(beside, path));
    CHECK(text_in(path) == "new");
    CHECK_FALSE(fs::exists(beside));
    CHECK_FALSE(replace_file(beside, path));
    CHECK_FALSE(reason().empty());
    CHECK(text_in(path) == "new");
    CHECK_FALSE(File::open_beside(folder.path / "nowhere" / "log"));
}

TEST_CASE("clocks agree with the calendar of ISO 8601") {
    // 2000-02-29T12:34:56Z is 951827696 s after 1970-01-01 (POSIX.1, "Seconds Since the Epoch", worked by its formula).
    const std::tm utc = utc_time(951827696);
    CHECK(utc.tm_year == 100);
    CHECK(utc.tm_mon == 1);
    CHECK(utc.tm_mday == 29);
    CHECK(utc.tm_hour == 12);
    CHECK(utc.tm_sec == 56);
    CHECK(utc_seconds(utc) == 951827696);
}

TEST_CASE("the running program knows its own file") {
    CHECK(fs::is_regular_file(program_file()));
}

} // namespace bellhand::platform
