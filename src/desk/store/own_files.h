#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace bellhand::desk {

/// A horn and an evening that come with the program, for who has not told of his own.
[[nodiscard]] std::filesystem::path demo_horn_file();
[[nodiscard]] std::filesystem::path demo_set_list_file();

/// A sentence for each file of the program that the window needs and that is missing or damaged. Nothing is computed from
/// such a file, and the page that wants it says so, too.
[[nodiscard]] std::vector<std::string> trouble_with_own_files();

} // namespace bellhand::desk
