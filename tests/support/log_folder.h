#pragma once

#include "core/platform.h"

#include <atomic>
#include <filesystem>
#include <string>

namespace bellhand::test {

/// A folder that goes with the test.
class LogFolder {
public:
    LogFolder() {
        static std::atomic<int> made{0};
        path_ = std::filesystem::temp_directory_path() /
                platform::path_of("bellhand-log-" + std::to_string(platform::process_number()) +
                                  "-" + std::to_string(++made));
        std::filesystem::remove_all(path_); // of a program that died, with the same number
        std::filesystem::create_directory(path_);
    }
    ~LogFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    LogFolder(const LogFolder&) = delete;
    LogFolder& operator=(const LogFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const noexcept { return path_; }
    [[nodiscard]] std::filesystem::path operator/(const char* name) const { return path_ / name; }

private:
    std::filesystem::path path_;
};

} // namespace bellhand::test
