#pragma once

#include "desk/model/file_browser.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// What can be said of a file before it is opened.
struct FilePreview {
    std::string title;              ///< what is in it, in words, or its name
    std::vector<std::string> lines; ///< kind, size and date first; then what it holds
};

/// Looks into the file of a row, or the folder. Large files are told by name, size and date alone; what cannot be read says
/// why in a line. Empty for the folder above.
[[nodiscard]] FilePreview preview_of(const FileRow& row);

/// "2026-11-30 14:05", local time; empty when there is no such file.
[[nodiscard]] std::string changed_words(const std::filesystem::path& file);

} // namespace bellhand::desk
