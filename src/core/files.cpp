#include "core/files.h"

#include "core/platform.h"

#include <array>
#include <fstream>

namespace bellhand {

namespace {

constexpr std::size_t kReadStep_bytes = 65536;

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
    std::ifstream file(path, std::ios::binary);
    if (!file) {
        return failure("Cannot open " + path.string() + ": " + platform::reason() + ".");
    }
    // In steps: a small file does not cost the memory of the largest that is allowed.
    std::string text;
    std::array<char, kReadStep_bytes> step{};
    while (file && text.size() <= largest_bytes) {
        file.read(step.data(), step.size());
        text.append(step.data(), static_cast<std::size_t>(file.gcount()));
    }
    if (file.bad()) {
        return failure("Cannot read " + path.string() + ": " + platform::reason() + ".");
    }
    if (text.size() > largest_bytes) {
        return too_large("it grew while being read");
    }
    return text;
}

Result<void> write_file_in_one_step(const std::filesystem::path& path, std::string_view text) {
    auto file = platform::File::open_beside(path);
    if (!file) {
        return failure("Cannot write beside " + path.string() + ": " + platform::reason() +
                       "; choose a folder that exists and may be written.");
    }
    const std::filesystem::path beside = file->path();
    const auto* bytes = reinterpret_cast<const unsigned char*>(text.data());
    if (file->write_at({bytes, text.size()}, 0) != text.size() || !file->flush() ||
        !file->close() || !platform::replace_file(beside, path)) {
        const std::string why = platform::reason();
        file.reset(); // not every system removes what is open
        platform::remove_file(beside);
        return failure("Cannot save " + path.string() + ": " + why +
                       "; the old file is untouched.");
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
