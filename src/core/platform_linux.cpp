// The folders of the XDG Base Directory Specification, and where Linux tells of the program that runs.
#include "core/platform.h"
#include "core/platform_home.h"

#include <cstdlib>

namespace bellhand::platform {

namespace {

namespace fs = std::filesystem;

/// The root, where the system does not tell.
fs::path home() {
    fs::path folder = home_folder();
    return folder.empty() ? fs::path("/") : folder;
}

/// The folder that a variable names, when it names one from the root on; else a place below the home folder.
fs::path user_folder(const char* variable, const fs::path& below_home) {
    if (const char* named = std::getenv(variable); named != nullptr && named[0] == '/') {
        return named;
    }
    return home() / below_home;
}

} // namespace

fs::path program_file() {
    std::error_code unknown;
    return fs::read_symlink("/proc/self/exe", unknown);
}

fs::path settings_folder() {
    return user_folder("XDG_CONFIG_HOME", ".config") / "bellhand";
}

fs::path data_folder() {
    return user_folder("XDG_DATA_HOME", ".local/share") / "bellhand";
}

fs::path documents_folder() {
    return user_folder("XDG_DOCUMENTS_DIR", "Documents") / "Bellhand";
}

std::vector<fs::path> font_folders() {
    return {user_folder("XDG_DATA_HOME", ".local/share") / "fonts",
            home() / ".local/share/fonts",
            home() / ".fonts",
            "/usr/local/share/fonts",
            "/usr/share/fonts/truetype/dejavu",
            "/usr/share/fonts/opentype/inter",
            "/usr/share/texmf/fonts/opentype/public/tex-gyre",
            "/usr/share/fonts"};
}

bool command_key() noexcept {
    return false;
}

} // namespace bellhand::platform
