// The folders of macOS, and where it tells of the program that runs.
#include "core/platform.h"
#include "core/platform_home.h"

#include <mach-o/dyld.h>

namespace bellhand::platform {

namespace {

namespace fs = std::filesystem;

/// The root, where the system does not tell.
fs::path home() {
    fs::path folder = home_folder();
    return folder.empty() ? fs::path("/") : folder;
}

} // namespace

fs::path program_file() {
    std::uint32_t size = 0;
    ::_NSGetExecutablePath(nullptr, &size);
    std::string path(size, '\0');
    if (::_NSGetExecutablePath(path.data(), &size) != 0) {
        return {};
    }
    std::error_code unknown;
    return fs::canonical(path.c_str(), unknown); // the name ends at the zero
}

fs::path settings_folder() {
    return home() / "Library/Application Support/Bellhand";
}

fs::path data_folder() {
    return home() / "Library/Application Support/Bellhand";
}

fs::path documents_folder() {
    return home() / "Documents/Bellhand";
}

std::vector<fs::path> font_folders() {
    return {home() / "Library/Fonts", "/Library/Fonts", "/System/Library/Fonts"};
}

bool command_key() noexcept {
    return true;
}

} // namespace bellhand::platform
