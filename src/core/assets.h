#pragma once

#include "core/result.h"

#include <filesystem>
#include <string_view>

namespace bellhand {

/// Where the program's own files lie: `assets` beside the program, else `../share/bellhand` seen from it, else
/// `$BELLHAND_ASSETS`, else the source tree it was built from. What is missing there is for the reader of each file to
/// say; no other folder is searched for it, so that no two versions mix.
[[nodiscard]] std::filesystem::path assets_folder();

/// A file of it, by its place there. Errors: it is not there; the sentence says that the program is not whole.
[[nodiscard]] Result<std::filesystem::path> asset(std::string_view place);

} // namespace bellhand
