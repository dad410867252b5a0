#include "core/files.h"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace bellhand {

namespace {

std::string reason() {
    return std::strerror(errno);
}

bool write_all(int file, std::string_view text) {
    while (!text.empty()) {
        const ssize_t written = ::write(file, text.data(), text.size());
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            return false;
        }
        text.remove_prefix(static_cast<std::size_t>(written));
    }
    return true;
}

} // namespace

Result<std::string> read_small_file(const std::filesystem::path& path, std::size_t largest_bytes) {
    const auto too_large = [&](const std::string& size) {
        return failure(path.string() + " is too large (" + size + "): at most " +
                       std::to_string(largest_bytes) + " bytes are read; is it the right file?");
    };
    std::error_code problem;
    const auto status = std::filesystem::status(path, problem);
    if (!std::filesystem::exists(status)) {
        return failure("There is no file " + path.string() + ": check the path.");
    }
    if (!std::filesystem::is_regular_file(status)) {
        return failure(path.string() + " is not an ordinary file: name a file to read.");
    }
    const auto size = std::filesystem::file_size(path, problem);
    if (!problem && size > largest_bytes) {
        return too_large(std::to_string(size) + " bytes");
    }
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"),
                                                               &std::fclose);
    if (!file) {
        return failure("Cannot open " + path.string() + ": " + reason() + ".");
    }
    std::string text(largest_bytes + 1, '\0');
    text.resize(std::fread(text.data(), 1, text.size(), file.get()));
    if (std::ferror(file.get()) != 0) {
        return failure("Cannot read " + path.string() + ": " + reason() + ".");
    }
    if (text.size() > largest_bytes) {
        return too_large("it grew while being read");
    }
    return text;
}

Result<void> write_file_in_one_step(const std::filesystem::path& path, std::string_view text) {
    const std::string name = path.string();
    std::string beside = name + ".XXXXXX";
    const int file = ::mkstemp(beside.data());
    if (file < 0) {
        return failure("Cannot write beside " + name + ": " + reason() +
                       "; choose a folder that exists and may be written.");
    }
    bool good = write_all(file, text) && ::fchmod(file, 0644) == 0 && ::fsync(file) == 0;
    std::string why = good ? "" : reason();
    if (::close(file) != 0 && good) {
        good = false;
        why = reason();
    }
    if (good && std::rename(beside.c_str(), name.c_str()) != 0) {
        good = false;
        why = reason();
    }
    if (!good) {
        ::unlink(beside.c_str());
        return failure("Cannot save " + name + ": " + why + "; the old file is untouched.");
    }
    // The new name itself must reach the disk too; a file system that cannot sync folders has done what it can.
    const std::string folder = path.has_parent_path() ? path.parent_path().string() : ".";
    if (const int handle = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY); handle >= 0) {
        ::fsync(handle);
        ::close(handle);
    }
    return {};
}

Result<void> make_folder(const std::filesystem::path& folder) {
    std::error_code cannot;
    std::filesystem::create_directories(folder, cannot);
    if (cannot) {
        return failure("The folder " + folder.string() + " cannot be made: " + cannot.message() +
                       ".");
    }
    return {};
}

} // namespace bellhand
