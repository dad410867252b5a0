#include "core/assets.h"

#include <cstdlib>

namespace bellhand {

std::filesystem::path assets_folder() {
    if (const char* chosen = std::getenv("BELLHAND_ASSETS"); chosen != nullptr && *chosen != '\0') {
        return chosen;
    }
    std::error_code ignored;
    if (std::filesystem::is_directory(BELLHAND_INSTALLED_ASSETS, ignored)) {
        return BELLHAND_INSTALLED_ASSETS;
    }
    return BELLHAND_SOURCE_ASSETS;
}

} // namespace bellhand
