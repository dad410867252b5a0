#include "core/files.h"

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

/// What the file system is asked, in order, and what it is to answer. The program's own calls come here, because a
/// function of the executable stands before that of the C library.
struct Disk {
    std::vector<std::string> asked;
    bool watched = false;
    int sync_fails_with = 0;
    int rename_fails_with = 0;
    std::function<void()> before_rename;
};
Disk disk;

struct Watched {
    Watched() {
        disk = Disk();
        disk.watched = true;
    }
    ~Watched() { disk = Disk(); }
    Watched(const Watched&) = delete;
    Watched& operator=(const Watched&) = delete;
};

} // namespace

extern "C" int fsync(int file) {
    if (disk.watched) {
        struct stat kind = {};
        ::fstat(file, &kind);
        const bool folder = (kind.st_mode & S_IFMT) == S_IFDIR;
        disk.asked.push_back(folder ? "sync folder"
                                    : "sync file of " + std::to_string(kind.st_size));
        if (disk.sync_fails_with != 0 && !folder) {
            errno = disk.sync_fails_with;
            return -1;
        }
    }
    return static_cast<int>(::syscall(SYS_fsync, file));
}

extern "C" int rename(const char* from, const char* to) noexcept {
    if (disk.watched) {
        disk.asked.emplace_back("rename");
        if (disk.before_rename) {
            disk.before_rename();
        }
        if (disk.rename_fails_with != 0) {
            errno = disk.rename_fails_with;
            return -1;
        }
    }
    return static_cast<int>(::syscall(SYS_renameat, AT_FDCWD, from, AT_FDCWD, to));
}

namespace {

struct Folder {
    fs::path path = fs::temp_directory_path() / ("bellhand_files_" + std::to_string(::getpid()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::size_t files() const {
        return static_cast<std::size_t>(
            std::distance(fs::directory_iterator(path), fs::directory_iterator()));
    }
};

std::string contents(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::string why(const Result<void>& result) {
    return result ? std::string() : result.error().message;
}

} // namespace

TEST_SUITE("files as the system is asked for them") {
    TEST_CASE("what is written is on the disk before it gets its name, and then the name is too") {
        const Folder folder;
        const Watched watched;
        REQUIRE(write_file_in_one_step(folder.path / "a", "twelve bytes"));
        CHECK(disk.asked == std::vector<std::string>{"sync file of 12", "rename", "sync folder"});
        CHECK(contents(folder.path / "a") == "twelve bytes");
        CHECK(folder.files() == 1);
        CHECK(fs::status(folder.path / "a").permissions() == fs::perms(0644));
    }

    TEST_CASE(
        "a disk that fails at any step leaves the old file, nothing beside it, and a reason") {
        const Folder folder;
        const fs::path path = folder.path / "a";
        REQUIRE(write_file_in_one_step(path, "old"));
        for (const auto step : {&Disk::sync_fails_with, &Disk::rename_fails_with}) {
            const Watched watched;
            disk.*step = ENOSPC;
            const auto written = write_file_in_one_step(path, "new");
            CHECK_FALSE(written);
            CHECK(why(written).find("No space left on device") != std::string::npos);
            CHECK(why(written).find("the old file is untouched") != std::string::npos);
            CHECK(contents(path) == "old");
            CHECK(folder.files() == 1);
        }
    }

    TEST_CASE("a program that is killed just before the new name leaves the old file whole") {
        const Folder folder;
        const fs::path path = folder.path / "a";
        REQUIRE(write_file_in_one_step(path, "old"));
        const pid_t child = ::fork();
        if (child == 0) {
            disk.watched = true;
            disk.before_rename = [] { ::kill(::getpid(), SIGKILL); };
            static_cast<void>(write_file_in_one_step(path, std::string(100'000, 'n')));
            ::_exit(0);
        }
        int status = 0;
        ::waitpid(child, &status, 0);
        CHECK(WIFSIGNALED(status));
        CHECK(contents(path) == "old");
    }

    TEST_CASE("a disk that takes only a part of it leaves the old file, and nothing beside it") {
        const Folder folder;
        const fs::path path = folder.path / "a";
        REQUIRE(write_file_in_one_step(path, "old"));
        rlimit before = {};
        REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
        const auto signal_before = std::signal(SIGXFSZ, SIG_IGN);
        const rlimit small = {1000, before.rlim_max};
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
        const auto written = write_file_in_one_step(path, std::string(5000, 'n'));
        const auto exactly = write_file_in_one_step(folder.path / "b", std::string(1000, 'n'));
        ::setrlimit(RLIMIT_FSIZE, &before);
        std::signal(SIGXFSZ, signal_before);
        CHECK(why(written).find("File too large; the old file is untouched") != std::string::npos);
        CHECK(contents(path) == "old");
        CHECK(exactly);
        CHECK(folder.files() == 2);
    }

    TEST_CASE("what says it is empty and is not is stopped at the limit") {
        // Files of the kernel have size 0 and contents all the same.
        const auto read = read_small_file("/proc/self/maps", 10);
        REQUIRE_FALSE(read);
        CHECK(read.error().message.find("grew while being read") != std::string::npos);
    }

    TEST_CASE("missing files, folders, pipes and devices are refused, not waited for") {
        const Folder folder;
        const auto missing = read_small_file(folder.path / "none", 10);
        REQUIRE_FALSE(missing);
        CHECK(missing.error().message.find("There is no file") != std::string::npos);
        REQUIRE(::mkfifo((folder.path / "pipe").c_str(), 0600) == 0);
        for (const fs::path& path : {folder.path, folder.path / "pipe", fs::path("/dev/zero")}) {
            const auto read = read_small_file(path, 10);
            REQUIRE_FALSE(read);
            CHECK(read.error().message.find("not an ordinary file") != std::string::npos);
        }
    }
}
