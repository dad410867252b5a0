#pragma once

#include <cstdlib>
#include <filesystem>
#include <string>

namespace bellhand::test {

/// A folder that goes with the test.
class LogFolder {
public:
    LogFolder() {
        std::string name =
            (std::filesystem::temp_directory_path() / "bellhand-log-XXXXXX").string();
        path_ = mkdtemp(name.data());
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
