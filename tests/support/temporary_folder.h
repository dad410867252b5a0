#pragma once

#include "core/platform.h"

#include <atomic>
#include <filesystem>
#include <string>

namespace bellhand::test {

/// A folder that goes with the test.
class TemporaryFolder {
public:
    TemporaryFolder() {
        static std::atomic<int> made{0};
        path_ = std::filesystem::temp_directory_path() /
                platform::path_of("bellhand-test-" + std::to_string(platform::process_number()) +
                                  "-" + std::to_string(++made));
        std::filesystem::remove_all(path_); // of a program that died, with the same number
        std::filesystem::create_directory(path_);
    }
    ~TemporaryFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const noexcept { return path_; }
    [[nodiscard]] std::filesystem::path operator/(const char* name) const { return path_ / name; }

private:
    std::filesystem::path path_;
};

} // namespace bellhand::test
