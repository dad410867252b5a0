#pragma once

#include "logbook/logbook.h"

#include <chrono>
#include <csignal>
#include <filesystem>
#include <string>
#include <thread>

#include <doctest/doctest.h>
#include <sqlite3.h>

#include <sys/resource.h>

namespace bellhand::test {

/// Another program holds the log (made when there is none) for as long as this lives.
class LockedLog {
public:
    explicit LockedLog(const std::filesystem::path& log, const char* begin = "BEGIN EXCLUSIVE") {
        REQUIRE(logbook::Logbook::open(log));
        REQUIRE(sqlite3_open(log.c_str(), &other_) == SQLITE_OK);
        REQUIRE(sqlite3_exec(other_, begin, nullptr, nullptr, nullptr) == SQLITE_OK);
    }
    ~LockedLog() {
        CHECK(sqlite3_exec(other_, "ROLLBACK", nullptr, nullptr, nullptr) == SQLITE_OK);
        sqlite3_close(other_);
    }
    LockedLog(const LockedLog&) = delete;
    LockedLog& operator=(const LockedLog&) = delete;

private:
    sqlite3* other_ = nullptr;
};

/// Files of this process may not grow: what a full disk does to a write, on any file system.
class FullDisk {
public:
    FullDisk() {
        std::signal(SIGXFSZ, SIG_IGN);
        REQUIRE(getrlimit(RLIMIT_FSIZE, &before_) == 0);
        rlimit tight = before_;
        tight.rlim_cur = 4096;
        REQUIRE(setrlimit(RLIMIT_FSIZE, &tight) == 0);
    }
    ~FullDisk() { CHECK(setrlimit(RLIMIT_FSIZE, &before_) == 0); }
    FullDisk(const FullDisk&) = delete;
    FullDisk& operator=(const FullDisk&) = delete;

private:
    rlimit before_{};
};

/// Waits (at most 20 s) until `ready` says so.
template <typename Ready>
bool wait_for(const Ready& ready) {
    for (int i = 0; i < 2000; ++i) {
        if (ready()) {
            return true;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    return false;
}

/// The file that records went to instead of the log; empty when there is none.
inline std::filesystem::path rescued_in(const std::filesystem::path& folder) {
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().filename().string().find("unsaved") != std::string::npos &&
            entry.path().extension() == ".sqlite") {
            return entry.path();
        }
    }
    return {};
}

} // namespace bellhand::test
