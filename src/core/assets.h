#pragma once

#include <filesystem>

namespace bellhand {

/// Where the program's own files lie: `$BELLHAND_ASSETS`, else the installed folder, else the source tree.
[[nodiscard]] std::filesystem::path assets_folder();

} // namespace bellhand
