#include "core/assets.h"

#include "core/platform.h"

#include <cstdlib>

namespace bellhand {

std::filesystem::path assets_folder() {
    const std::filesystem::path program = platform::program_file().parent_path();
    if (!program.empty()) {
        for (const auto& folder :
             {program / "assets",                                // a folder, Windows
              program.parent_path() / "share" / "bellhand",      // Linux
              program.parent_path() / "Resources" / "assets"}) { // a bundle, macOS
            std::error_code ignored;
            if (std::filesystem::is_directory(folder, ignored)) {
                return folder;
            }
        }
    }
    if (const char* chosen = std::getenv("BELLHAND_ASSETS"); chosen != nullptr && *chosen != '\0') {
        return platform::path_of(chosen);
    }
    return BELLHAND_SOURCE_ASSETS;
}

Result<std::filesystem::path> asset(std::string_view place) {
    std::filesystem::path path = assets_folder() / platform::path_of(place);
    std::error_code unknown;
    if (!std::filesystem::is_regular_file(path, unknown)) {
        return failure("A file of the program, " + path.string() +
                       ", is missing: install Bellhand again.");
    }
    return path;
}

} // namespace bellhand
